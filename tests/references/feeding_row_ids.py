"""Every row of print the feeding core is held to, by topic: none may lack its test."""

ROW_IDS = {
    "rer_from_bcs5_weight": (
        "N001 N002 N003 N004 N005 N006 N008 N012 N016 N018 N019 N020 N021 N024 N026 N028 "
        "N029 N032 N035 N037 N039 N040 N041 N042 N044 N045 N047 N048 N049 N051 N054 N055 "
        "N057 N058 N060 N061 N062 N063 N065 N067 N070 N071 N072"
    ),
    "ideal_weight_from_bcs_5pt": "N073 N074 N075 N077 N078 N079 N080 N082 N083 N084 N087 N090",
    "rer_exponential": "N094 N096 N098 N099 N100 N103 N104 N105 N107",
    "mer_factor": "N109",
    "rer_linear_range_guard": "N114 N115",
    "mer_metabolic": "N116 N117 N119 N128 N129 N130 N131 N133 N139 N141 N142",
    "atwater_modified": "N163 N167",
    "nfe_by_difference": "N164 N168",
    "atwater_modified_kg": "N169",
    "dry_matter_basis": "N171 N175",
    "as_fed_from_dm": "N179 N181",
    "nrc2006_gross_energy": "N192 N198 N201 N204",
    "nrc2006_digestibility": "N193 N196 N199 N202",
    "nrc2006_me": "N194 N200 N203 N206",
    "fediaf_natural_food_me": "N207 N208",
    "blend_density": "N209 N212 N214 N215 N218 N219 N220 N222 N223 N224 N227 N228 N229 N230 N231 N232",
    "daily_volume": "N235 N248 N249",
    "water_allowance_per_kg": "N236",
    "fluid_by_tube_total": "N238",
    "meal_volume_total": "N239 N240",
    "meal_volume_per_kg": "N241 N242",
    "give_rate": "N243 N244",
    "kcal_per_kg_target": "N246 N247",
    "water_maintenance": (
        "N271 N272 N273 N275 N278 N280 N281 N282 N283 N286 N287 N290 N291 N292 N294 N297 N298 N306 N307 N308 N309 N311"
    ),
    "metabolic_water_low": "N324",
    "metabolic_water_high": "N325",
    "water_balance_total": "N329 N330",
    "iddsi_level": "N351 N352 N353 N354",
    "aafco_min_per_1000kcal": "N367 N368 N369 N371 N372 N373 N375",
    "aafco_max_per_1000kcal": "N378 N379",
    "dm_pct_to_per_1000kcal": "N380 N383 N384 N385 N387 N388 N391",
    "ideal_weight_bcs9_subtract": "N392 N393",
    "weight_change_pct": "N394 N395",
    "stomach_capacity": "N397 N398",
    "weight_flag": "N396",
}
