"""Seed the chains of jobs and the mixed material they use, as a programme starts with them.

Every step bears its source; minutes, people and the seasons are common practice, no source,
unless the step says otherwise. A programme changes them on its own pages.
"""

from django.db import migrations

PRACTICE = "common practice, no source"
CHICORA = "Chicora Foundation, General Guidelines for Cemetery Work, undated"
BRIEF = "National Park Service, Preservation Brief 48, 2016"
CURING = "National Park Service, Preservation Brief 2, curing text, undated: damp for 3 days"
CLAMPED = "a restorer's published account, 2017 (second hand): hold 24 h, then fill the seam"
SETTING = "a preservation body's tips, 2016; National Park Service, resetting of headstones, 2024"
FROST = "GSA Historic Preservation Technical Procedures 04460-10: no frost for 48 h after placing"

MORTAR = {
    "key": "lime-mortar",
    "name": "Lime mortar",
    "batch_litres": 12.0,
    "workable_hours": 4.0,
    "source": "common practice, no source: one bucket; read the label of the lime",
}


def step(kind, words, low, middle, high, **other):
    """Return one step: its kind, its words, person-minutes for small, medium and large stones."""
    minutes = {"small": low, "medium": middle, "large": high}
    return {"kind": kind, "words": words, "minutes_by_size": minutes, "source": PRACTICE} | other


RAKE = {"most": 6, "equipment": {"rake": 2, "barrow": 1}}
WASH = {"most": 3, "equipment": {"sprayer": 1, "bucket": 1}}
LOOK = {"most": 2}

# Steps name those they come after by their place in the chain, from 0.
CHAINS = [
    {
        "key": "losing-face",
        "name": "Losing its face: record it first",
        "need": "losing_face",
        "source": BRIEF + ": keep a record of every condition",
        "steps": [
            step(
                "recording",
                "Photograph it and read the inscription before it is lost",
                *(30, 45, 60),
                most=3,
                equipment={"camera": 1},
                source=BRIEF,
            ),
        ],
    },
    {
        "key": "not-seen",
        "name": "Not seen: look at it",
        "need": "not_seen",
        "source": BRIEF + ", p. 9: condition survey by trained volunteers",
        "steps": [
            step("survey", "Look, tap, measure", 20, 20, 30, source=CHICORA, **LOOK),
        ],
    },
    {
        "key": "reset",
        "name": "Reset it",
        "need": "reset",
        "source": SETTING,
        "steps": [
            step("survey", "Look, tap, measure", 20, 20, 30, source=CHICORA, **LOOK),
            step("raking", "Rake the section", 180, 180, 180, **RAKE),
            step(
                "cleaning",
                "Clean it while it still stands, where it needs it and may be wetted",
                *(30, 60, 120),
                after=[0, 1],
                **WASH,
            ),
            step(
                "resetting",
                "Dig it free; never pull it upright",
                *(40, 80, 160),
                after=[0, 1, 2],
                lifters=1,
                equipment={"bar": 1},
                source="a restorer's procedures, undated (second hand): dig it free first",
            ),
            step(
                "resetting",
                "Reset it plumb on gravel, tamped in layers",
                *(60, 120, 300),
                after=[3],
                most=5,
                lifters=2,
                equipment={"bar": 1, "clamp": 1},
                source=SETTING + ": gravel bed, layers tamped and wetted",
            ),
            step(
                "survey",
                "Look again after the first winter: has it moved?",
                *(20, 20, 30),
                after=[4],
                after_winter=True,
                **LOOK,
            ),
        ],
    },
    {
        "key": "clean",
        "name": "Clean it",
        "need": "clean",
        "source": "NCPTT, cleaning of government headstones, 2011; " + CHICORA,
        "steps": [
            step("survey", "Look, tap, measure", 20, 20, 30, source=CHICORA, **LOOK),
            step("raking", "Rake the section", 180, 180, 180, **RAKE),
            step(
                "cleaning",
                "Clean it gently: water first, soft brushes",
                *(30, 60, 120),
                after=[0, 1],
                source="NCPTT, 2011: wet all the time, from the bottom up, rinse well",
                **WASH,
            ),
        ],
    },
    {
        "key": "look-again",
        "name": "Look at it again",
        "need": "look_again",
        "source": CHICORA + ": tap before every treatment",
        "steps": [
            step("survey", "Look again: tap, measure the lean", 20, 20, 30, source=CHICORA, **LOOK),
        ],
    },
    {
        "key": "conservator",
        "name": "Mend it, led by a conservator",
        "need": "conservator",
        "source": "South Carolina Department of Archives and History, handbook, p. 34, undated",
        "steps": [
            step(
                "recording",
                "Photograph the break and the pieces in place, tag them",
                *(20, 30, 45),
                most=3,
                equipment={"camera": 1},
                source="South Carolina handbook, p. 36: photograph in place, map, tag, keep",
            ),
            step(
                "mending",
                "Level the lower part, clean both faces of the break",
                *(60, 90, 180),
                after=[0],
                most=3,
                lifters=1,
                source=CLAMPED.split(":")[0] + ": level, clean both faces, bond, clamp, fill",
            ),
            step(
                "mending",
                "Bond it and clamp it",
                *(60, 120, 180),
                after=[1],
                most=4,
                lifters=2,
                equipment={"clamp": 1},
                season_first=501,
                season_last=930,
                source=CLAMPED.split(":")[0] + "; 50 F and dry: common practice, read the label",
            ),
            step(
                "mending",
                "Take off the clamp, point the seam with lime mortar",
                *(60, 90, 120),
                after=[2],
                wait_hours=24,
                most=3,
                lifters=1,
                season_first=501,
                season_last=930,
                material=True,
                material_litres=3.0,
                source=CLAMPED,
            ),
            step(
                "mending",
                "Take off the damp cover; kept damp and free of frost until then",
                *(20, 20, 30),
                after=[3],
                wait_hours=72,
                most=2,
                lifters=1,
                source=CURING + "; " + FROST,
            ),
            step(
                "survey",
                "Look again once the lime has rested; nobody cleans it before",
                *(20, 20, 30),
                after=[4],
                wait_hours=672,
                source="common practice, no source: four weeks; lime hardens for years",
                **LOOK,
            ),
        ],
    },
]


def seed(apps, schema_editor):
    """Add the chains that are not there yet."""
    mortar_model = apps.get_model("workdays", "MixedMaterial")
    values = dict(MORTAR)
    mortar, _made = mortar_model.objects.get_or_create(key=values.pop("key"), defaults=values)
    kinds = {kind.key: kind for kind in apps.get_model("workdays", "KindOfWork").objects.all()}
    template_model = apps.get_model("workdays", "ChainTemplate")
    for order, row in enumerate(CHAINS):
        defaults = {name: row[name] for name in ("name", "need", "source")} | {"order": order}
        template, made = template_model.objects.get_or_create(key=row["key"], defaults=defaults)
        if made:
            _seed_steps(apps.get_model("workdays", "ChainStep"), template, row, kinds, mortar)


def _seed_steps(model, template, row, kinds, mortar):
    made = []
    for order, told in enumerate(row["steps"]):
        values = dict(told)
        after = values.pop("after", ())
        values["kind"] = kinds[values["kind"]]
        if values.get("material"):
            values["material"] = mortar
        one = model.objects.create(template=template, order=order, **values)
        one.after.set([made[place] for place in after])
        made.append(one)


class Migration(migrations.Migration):
    dependencies = [("workdays", "0004_ground_and_backlog")]

    operations = [migrations.RunPython(seed, migrations.RunPython.noop)]
