"""Orders as worked examples, labels and handbooks print them: what a vet may well order, each with its print.

They were written from the print that is named, not out of the tables of the program. No clinician has checked them.
"""

from dataclasses import dataclass, field


@dataclass(frozen=True)
class RightOrder:
    """One printed order for one animal."""

    print: str
    species: str
    weight_kg: float
    name: str
    dose: str
    strength: str
    every_hours: int
    extra: dict[str, str] = field(default_factory=dict)


def _liquid(source, species, weight_kg, name, dose, strength, every_hours, **extra):
    return RightOrder(source, species, weight_kg, name, dose, strength, every_hours, extra)


def _tablet(source, species, weight_kg, name, dose, strength, every_hours, **extra):
    form = {"form": '"tablet"', "crush": '"allowed"', "tablet_parts": "4"}
    return RightOrder(source, species, weight_kg, name, dose, f"{strength}/tablet", every_hours, {**form, **extra})


MSD = "MSD Veterinary Manual, table of cardiac medicines"
CFR = "21 CFR 520"
CSAIM = "Clinical Small Animal Internal Medicine"
OSU = "Ohio State antimicrobial guide"
HCL = {"counts_as": '"hydrochloride"'}

RIGHT_ORDERS = (
    _tablet("product summary: 5 mg morning and evening for 20 kg", "dog", 20, "Pimobendan", "5 mg", "5 mg", 12),
    _liquid(f"{CFR}.1782, 0.25 mg/kg", "dog", 20, "Pimobendan", "0.25 mg/kg", "1.5 mg/mL", 12),
    _liquid("product summary, 0.5 mg/kg/day", "dog", 10, "Metoclopramide", "2.5 mg", "1 mg/mL", 12, **HCL),
    _liquid("product summary, 1 mg/kg/day", "dog", 10, "Metoclopramide", "5 mg", "1 mg/mL", 12, **HCL),
    _liquid("product summary, 1 mg/kg/day", "cat", 4, "Metoclopramide", "0.33 mg/kg", "1 mg/mL", 8, **HCL),
    _tablet("Danish tablets, over 7.5 kg", "dog", 10, "Metoclopramide", "2.5 mg", "5 mg", 6, **HCL),
    _tablet("Danish tablets, over 12.5 kg", "dog", 15, "Metoclopramide", "3.75 mg", "5 mg", 6, **HCL),
    _tablet("Danish tablets, over 37.5 kg", "dog", 40, "Metoclopramide", "10 mg", "10 mg", 6, **HCL),
    _liquid(f"{CFR}.292, cats", "cat", 4, "Capromorelin", "2 mg/kg", "20 mg/mL", 24),
    _liquid(f"{CFR}.292, dogs", "dog", 12, "Capromorelin", "3 mg/kg", "30 mg/mL", 24),
    _tablet(f"{CFR}.1315, 2 mg/kg", "dog", 8, "Maropitant", "16 mg", "16 mg", 24),
    _tablet("Small Animal Internal Medicine, 4 mg for a cat", "cat", 4, "Maropitant", "4 mg", "16 mg", 24),
    _liquid(f"{MSD}: start of 2 mg/kg", "dog", 12, "Furosemide", "2 mg/kg", "10 mg/mL", 12),
    _tablet(f"{MSD}: 1 to 2 mg/kg", "cat", 4.5, "Frusemide", "6.25 mg", "12.5 mg", 12),
    _tablet(f"{MSD}: 0.25 mg for a large dog", "dog", 60, "Digoxin", "0.25 mg", "0.25 mg", 12),
    _liquid(f"{CSAIM}, Table 19.1", "dog", 10, "Digoxin", "0.005 mg/kg", "0.05 mg/mL", 12),
    _tablet(f"{CFR}.1248, 0.022 mg/kg", "dog", 30, "Levothyroxine", "0.6 mg", "0.3 mg", 12),
    _liquid("a trial of 2014, 20 mcg/kg once a day", "dog", 30, "L-thyroxine", "20 mcg/kg", "1 mg/mL", 24),
    _tablet("Texas A&M table, under 22 lb", "dog", 9.9, "Vitamin B12", "250 mcg", "250 mcg", 24),
    _tablet("Texas A&M table, 22 to 100 lb", "dog", 20, "Cyanocobalamin", "1000 mcg", "1000 mcg", 24),
    _tablet("Texas A&M table, over 100 lb", "dog", 50, "Cyanocobalamin", "2000 mcg", "1000 mcg", 24),
    _tablet("Texas A&M table, cats", "cat", 4.2, "Cyanocobalamin", "250 mcg", "250 mcg", 24),
    _liquid(f"{OSU}, 10 to 15 mg/kg", "dog", 17, "Metronidazole", "12 mg/kg", "50 mg/mL", 12),
    _liquid(f"{OSU}, the benzoate for a cat", "cat", 4, "Metronidazole benzoate", "100 mg", "50 mg/mL", 12),
    _liquid(f"{OSU}, 5 mg/kg twice a day", "dog", 20, "Doxycycline", "5 mg/kg", "10 mg/mL", 12),
    _liquid(f"{OSU}, 10 mg/kg once a day", "cat", 4, "Doxycycline", "40 mg", "10 mg/mL", 24),
    _liquid("UK data sheet, 0.25 mL/kg", "cat", 4, "Amoxicillin with clavulanic acid", "50 mg", "50 mg/mL", 12),
    _liquid("US label, 62.5 mg for a cat", "cat", 4.5, "Amoxicillin-clavulanate", "62.5 mg", "62.5 mg/mL", 12),
    _liquid(f"{OSU}, 13.75 mg/kg", "dog", 9, "Co-amoxiclav", "13.75 mg/kg", "62.5 mg/mL", 12),
    _liquid(f"{CFR}.88, 5 mg/lb", "dog", 10, "Amoxycillin", "11 mg/kg", "50 mg/mL", 12),
    _liquid(f"{CFR}.88, 5 mg/lb", "cat", 4.5, "Amoxicillin", "50 mg", "50 mg/mL", 24),
    _tablet(f"{CFR}.812, 5 mg/kg", "dog", 27.2, "Enrofloxacin", "136 mg", "136 mg", 24),
    _tablet(f"{CFR}.812, 5 mg/kg", "cat", 4.54, "Enrofloxacin", "22.7 mg", "22.7 mg", 24),
    _tablet(f"{CFR}.1310, 1.25 mg/lb", "dog", 18, "Marbofloxacin", "50 mg", "50 mg", 24),
    _tablet("Small Animal Internal Medicine, Table 92.1", "dog", 12, "Pradofloxacin", "60 mg", "60 mg", 24),
    _liquid(f"{CFR}.447, 2.5 mg/lb", "dog", 10, "Clindamycin", "55 mg", "25 mg/mL", 12),
    _liquid(f"{CFR}.447, 5 mg/lb", "cat", 4.5, "Clindamycin", "50 mg", "25 mg/mL", 24),
    _liquid("Small Animal Dermatology, Table 13.1", "cat", 4, "Azithromycin", "20 mg", "40 mg/mL", 24),
    _liquid("Small Animal Dermatology, Table 13.1", "dog", 10, "Cefalexin", "250 mg", "50 mg/mL", 12),
    _tablet("an older handbook", "dog", 10, "Aminophylline", "100 mg", "100 mg", 8),
    _tablet("from memory: a quarter of a tablet", "cat", 4.5, "Terbutaline", "0.625 mg", "2.5 mg", 12),
    _tablet(f"{MSD}: usually 1.25 mg", "cat", 4.5, "Pimobendan", "1.25 mg", "1.25 mg", 12),
    _tablet(f"{MSD}: 0.1 to 0.4 mg/kg", "dog", 12.5, "Torasemide", "2.5 mg", "5 mg", 24),
    _tablet(f"{MSD}: 2 to 4 mg/kg once a day", "dog", 12.5, "Spironolactone", "25 mg", "25 mg", 24),
    _tablet(f"{MSD}: 0.25 to 0.5 mg/kg", "dog", 10, "Enalapril maleate", "5 mg", "5 mg", 12),
    _tablet(f"{MSD}: 0.25 to 0.5 mg/kg", "cat", 5, "Benazepril", "2.5 mg", "5 mg", 24),
    _tablet(f"{CSAIM}, Table 19.1", "cat", 4, "Amlodipine besylate", "0.625 mg", "2.5 mg", 24),
    _tablet("an internet pharmacy's 1.88 mg for a cat", "cat", 4, "Mirtazapine", "1.875 mg", "7.5 mg", 48),
    _liquid("Today's Veterinary Practice, 2018", "dog", 20, "Gabapentin", "10 mg/kg", "50 mg/mL", 8),
    _tablet("a trial of 2017 in the Veterinary Record", "dog", 20, "Sildenafil", "20 mg", "20 mg", 12),
    _liquid(f"{CSAIM}, Table 53.2", "dog", 20, "Erythromycin", "0.75 mg/kg", "40 mg/mL", 8),
    _tablet(f"{CSAIM}, Table 53.2", "dog", 15, "Bethanechol", "5 mg", "10 mg", 8),
    _liquid("Small Animal Internal Medicine, Table 28.4", "cat", 4, "Ranitidine", "14 mg", "15 mg/mL", 12),
    _tablet("JSAP 2010, Table 10", "dog", 20, "Domperidone", "5 mg", "10 mg", 8),
    _liquid("Small Animal Internal Medicine, Table 28.3", "cat", 4, "Aluminum hydroxide", "64 mg", "64 mg/mL", 8),
    _liquid(f"{CSAIM}, Table 53.2", "dog", 10, "Cisapride", "0.4 mg/kg", "10 mg/mL", 8),
    _liquid("practice sheet, 1 mg/kg every 12 hours", "dog", 20, "Cisapride", "1.2 mg/kg", "10 mg/mL", 12),
    _liquid(f"{CSAIM}, Table 51.3", "dog", 17.4, "Omeprazole", "1 mg/kg", "2 mg/mL", 12),
    _liquid("older Merck manual, 0.5 to 1 mg/kg once a day", "cat", 4, "Omeprazole", "0.7 mg/kg", "2 mg/mL", 24),
    _liquid(f"{CSAIM}, Table 51.3", "dog", 10, "Famotidine", "1 mg/kg", "8 mg/mL", 12),
    _liquid(f"{CSAIM}, Table 51.3: half a gram for a medium dog", "dog", 18, "Sucralfate", "500 mg", "100 mg/mL", 8),
    _liquid("Small Animal Internal Medicine, a cat", "cat", 4.2, "Sucralfate", "250 mg", "100 mg/mL", 12),
    _tablet(f"{CSAIM}, Table 51.3: 3 mcg/kg", "dog", 33, "Misoprostol", "100 mcg", "100 mcg", 12),
    _liquid("JSAP 2010, Table 10", "cat", 4.1, "Ondansetron", "0.5 mg/kg", "0.8 mg/mL", 12),
    _tablet("practice sheet for acute vomiting", "dog", 10, "Dimenhydrinate", "50 mg", "50 mg", 8),
    _liquid("practice sheet for acute vomiting", "dog", 10, "Diphenhydramine", "2.5 mg/kg", "2.5 mg/mL", 8),
    _liquid("a chapter on motility, 1 to 3 mg/kg", "dog", 20, "Pyridostigmine", "24 mg", "12 mg/mL", 12),
    _tablet(f"{CSAIM}, myasthenia", "dog", 20, "Prednisolone", "10 mg", "5 mg", 24),
    _tablet(f"{CSAIM}, myasthenia", "dog", 20, "Prednisone", "10 mg", "5 mg", 48),
    _tablet(
        "a patients' handout: 20, 15, 11.25 mg", "dog", 20, "Prednisolone", "20 mg", "5 mg", 24,
        steps='[{ from_on = 2026-12-10, dose = "15 mg" }, { from_on = 2026-12-24, dose = "11.25 mg" }]',
    ),
    _liquid("a chapter on motility: 2 mg/kg at first", "dog", 10, "Azathioprine", "20 mg", "10 mg/mL", 24),
    _liquid("a secondary summary", "dog", 20, "Mycophenolate mofetil", "10 mg/kg", "200 mg/mL", 12),
    _liquid(f"{CSAIM}, Table 53.2", "dog", 10, "Mosapride", "1 mg/kg", "5 mg/mL", 12),
    _liquid(f"{CSAIM}, Table 53.2: 5 mg for a cat", "cat", 4, "Mosapride", "5 mg", "5 mg/mL", 12),
)  # fmt: skip
