"""In which words does the trade order meals, energy, flushes and limits?"""

from fillmark.core.plan.sheet_animal import rule

_FLUSH = r"flush\w*|rins\w*|h2o|residu\w*|aspirat\w*|drawn? back|comes? back|weigh|balloon|\bcans? with\b"
NOT_A_MEAL = _FLUSH + r"|vomit|call\b|residue|› ?syringe|skip"
RULES = (
    rule(
        "orders.meals_per_day",
        r"<n>[^‹.]{0,22}\b(?:meals|feeds|feedings|portions|servings)\b",
        unless=r"flush|skip|miss\w*|first ‹|next ‹|vomit",
    ),
    rule(
        "orders.meals_per_day",
        r"(?:times|how often)(?: (?:a|per|each) day|/day)\s*[:=]\s*<n>",
        unless=r"flush|skip|vomit|‹mg",
    ),
    rule(
        "orders.meals_per_day",
        r"(?:meals?|feeds?|feedings?)(?: (?:a|per|each) day| daily|/day)?\s*[:=]\s*<n>",
        unless=r"flush|skip|vomit|\bml ?(?:/|per) ?(?:meal|feed)|kcal",
    ),
    rule(
        "orders.meals_per_day",
        r"(?:feed\w*|fed|meals?|food|blend|slurry|gruel|diet|bolus\w*|offer)\b[^.]*?<often>",
        unless=NOT_A_MEAL,
    ),
    rule("orders.meals_per_day", r"‹ml:\d+›[^.‹]{0,30}<often>", unless=NOT_A_MEAL + "|water"),
    rule(
        "orders.meal_ml",
        r"<ml>(?:(?!before|after|prior)[^‹.]){0,30}(?:\beach\b|\bper\b|\ba\b|\bevery\b|/|\bat (?:each|every)) ?(?:meal|"
        r"feed|feeding|time)",
        unless=NOT_A_MEAL,
    ),
    rule("orders.meal_ml", r"^<ml>,? ‹often|(?:meals?|feeds?|feedings?) of <ml/day>", unless=NOT_A_MEAL + "|water"),
    rule("orders.meal_ml", r"<ml>,? (?:each|apiece)\b|<ml> [x×] ", unless=NOT_A_MEAL + "|water"),
    rule(
        "orders.meal_ml",
        r"(?:\bmeals?|\bfeeds?|feedings?)\b(?: size| volume| amount)?(?: of| is| should "
        r"be)?[^‹.]{0,14}<ml>",
        unless=NOT_A_MEAL + "|water|before|after",
    ),
    rule(
        "orders.meal_ml",
        r"(?:\bfeed|\bgive|\bsyringe|\boffer|bolus|\badminister|\bamount|\bvolume)\b[^‹.]{0,40}<ml>",
        unless=NOT_A_MEAL + "|water|‹mg",
    ),
    rule(
        "orders.meal_ml",
        r"<ml>,? (?:of )?(?:the )?(?:food|blend|slurry|gruel|diet|formula|mixture|liquid "
        r"food)",
        unless=NOT_A_MEAL,
    ),
    rule(
        "orders.cap_ml_per_kg",
        r"(?:max\w*|exceed\w*|no more than|not more than|never (?:give )?more|up to|limit\w*|"
        r"at (?:one|a) time|at once|most)[^‹]{0,30}<ml/kg|ml/lb>",
    ),
    rule(
        "orders.cap_ml_per_kg",
        r"<ml/kg|ml/lb>[^‹]{0,25}(?:max\w*|at (?:one|a) time|at once|per (?:meal|feed)|"
        r"at (?:the )?most|limit)",
    ),
    rule(
        "orders.meal_gap_hours",
        r"at least[^‹]{0,6}<time>[^‹]{0,14}(?:apart|between)|<time>[^‹]{0,14}between (?:meals|"
        r"feed)|between (?:meals|feed\w*)[^‹]{0,25}<time>",
        unless="medic|dose",
    ),
    rule("orders.meal_ml", r"\bml ?(?:/|per) ?(?:meal|feed\w*)\s*[:=]\s*<n>"),
    rule("orders.cap_ml_per_kg", r"max\w* (?:of )?ml ?(?:/|per) ?kg\s*[:=]\s*<n>"),
    rule("orders.energy.kcal_per_day", r"kcal ?(?:/|per) ?day\s*[:=]\s*<n>"),
    rule("orders.energy.kcal_per_day", r"<kcal/day>", unless=r"by mouth|eats|from treats"),
    rule("orders.energy.kcal_per_day", r"<kcal> (?:daily|in total|total|over ‹time|in ‹time)|<kcal> ‹daily"),
    rule(
        "orders.energy.kcal_per_day",
        r"(?:\brer\b|\bder\b|\bmer\b|energy|calor\w*|\bgoal|\bneeds?\b|requirement)[^‹]{0,40}<kcal>",
        unless=r"\bcans?\b|\btins?\b|holds|contains|‹n:\d+› ?[x×]",
    ),
    rule(
        "orders.energy.kcal_per_kg",
        r"<kcal/kg|kcal/kg/day|kcal/lb|kcal/lb/day>",
        unless=r"as fed|label|contains|holds|metaboli|food|diet|dry",
    ),
    rule(
        "orders.energy.factor",
        r"<n> ?(?:x|×|\*|times) ?(?:the |her |his )?(?:rer|resting)|(?:\brer|resting energy(?: "
        r"requirement| needs?)?) ?(?:x|×|\*|times) ?<n>",
    ),
    rule("orders.pace_ml_per_minute", r"<ml/min|ml/hour>"),
    rule(
        "orders.upright_minutes",
        r"(?:upright|elevat\w*|prop\w*|sitting|\bsit\b|vertical|degrees|‹temp)[^.]{0,50}?<time>",
        unless=r"‹mg|warm",
    ),
    rule("orders.upright_minutes", r"<time>[^‹]{0,25}(?:upright|elevated)"),
    rule(
        "orders.residual.skip_over_ml",
        r"(?:residu\w*|aspirat\w*|drawn? back|suck\w* back|stomach contents?|comes? (?:back|"
        r"up|out)|get back)[^.]*?<ml>[^.]*?(?:skip|hold|omit|leave out|delay|wait|do not "
        r"feed|don't feed|no meal)",
    ),
    rule(
        "orders.residual.skip_over_ml",
        r"(?:skip|hold|omit|delay|do not feed|don't feed)[^.]*?(?:if|when)[^.]*?<ml>[^.]*?(?:residu\w*|"
        r"aspirat\w*|drawn? back|comes? (?:back|up)|stomach|back)",
    ),
    rule(
        "orders.residual.skip_over_ml",
        r"<ml>[^‹.]{0,40}(?:residu\w*|aspirat\w*|comes? (?:back|up|out)|back|stomach)[^‹]*?(?:skip|"
        r"hold|omit|leave out|delay|do not feed|don't feed)",
    ),
    rule("foods[1].can_ml", r"<ml> (?:can|tin|carton|bottle) of"),
    rule(
        "foods[1].keeps_days",
        r"(?:keep\w*|discard\w*|good|refrigerat\w*|fridge|use (?:it )?within|use up|open\w*)[^‹.]{0,45}<time>",
        unless=r"upright|meal|tube|apart|‹mg|between",
    ),
)
