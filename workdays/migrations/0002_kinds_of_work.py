"""Seed the kinds of work, their skills and the equipment they use.

Who may lead and help, and the cautions, are rows so that a programme can change them. Ages and
levels: common practice, no source, unless the text names one. Words of caution follow the
guidance of the National Park Service (Preservation Brief 48, 2016) and OSHA 29 CFR 1926.1425.
"""

from django.db import migrations

SKILLS = [
    ("raking", "raking and debris", 120, 0),
    ("cleaning", "gentle cleaning", 480, 6),
    ("resetting", "resetting", 960, 8),
    ("recording", "recording", 240, 10),
    ("mending", "mending", 2400, 10),
]

EQUIPMENT = [
    ("rake", "rake"),
    ("barrow", "wheelbarrow"),
    ("sprayer", "hand sprayer"),
    ("bucket", "bucket with brushes"),
    ("bar", "digging bar and trowels"),
    ("clamp", "lifting clamp"),
    ("hoist", "tripod hoist with slings"),
    ("camera", "camera and mirror"),
]

STONE = "Stones are heavy and break easily: never lean, sit or rest on one. "
KINDS = [
    {
        "key": "raking",
        "name": "Raking and debris",
        "sign": "rake",
        "skill": "raking",
        "on_section": True,
        "who_may": "Anyone; minors with their guardian",
        "caution": STONE
        + "Keep rakes and trimmers off every stone. Mark holes and report a fallen stone, "
        "do not move it. Look for wasps, snakes and broken glass before you reach in.",
        "to_fetch": "rakes, wheelbarrow, bags, gloves",
    },
    {
        "key": "cleaning",
        "name": "Gentle cleaning",
        "sign": "clean",
        "skill": "cleaning",
        "leader_level": 3,
        "limits_new_people": True,
        "touches": True,
        "wets": True,
        "who_may": "Anyone; we teach you in the first half hour",
        "caution": STONE
        + "Tap before you start; a hollow sound, flakes or grains coming off mean stop. Water "
        "first and all the time, soft brushes, from the bottom up, rinse well. No bleach, acid, "
        "wire or power washer. Gloves and eye protection with any cleaner; read its label.",
        "to_fetch": "water, hand sprayer, soft brushes, wooden picks, gloves, eye protection",
    },
    {
        "key": "resetting",
        "name": "Resetting",
        "sign": "reset",
        "skill": "resetting",
        "leader_level": 3,
        "touches": True,
        "lifts": True,
        "digs": True,
        "adults_only": True,
        "needs_supervisor": True,
        "who_may": "Adults, beside a supervisor",
        "caution": STONE
        + "Dig free first, never pull a stone upright. One person calls each lift. Keep out of "
        "the fall zone, nobody under a load, no hand on a hanging stone. Dig only in topsoil and "
        "only where utility marks allow; bones or coffin parts: stop, cover, tell the supervisor. "
        "Sturdy boots and gloves. Local law, the owner's rules and trained riggers decide.",
        "to_fetch": "digging tools, gravel, level, clamp or hoist, gloves, boots",
    },
    {
        "key": "survey",
        "name": "Survey",
        "sign": "survey",
        "skill": "recording",
        "leader_level": 2,
        "who_may": "Adults and minors who took part in a teaching day",
        "helper_level": 1,
        "caution": STONE + "Look and tap with a finger only; do not test a stone by pushing.",
        "to_fetch": "survey sheets or phone, level, tape",
    },
    {
        "key": "recording",
        "name": "Recording",
        "sign": "record",
        "skill": "recording",
        "leader_level": 1,
        "who_may": "Anyone who was shown how",
        "caution": STONE + "Read with a mirror and slanting light. No chalk, flour, foam or "
        "rubbing on the letters.",
        "to_fetch": "camera, mirror, recording sheets",
    },
    {
        "key": "mending",
        "name": "Mending",
        "sign": "mend",
        "skill": "mending",
        "leader_level": 3,
        "helper_level": 2,
        "touches": True,
        "wets": True,
        "lifts": True,
        "adults_only": True,
        "needs_conservator": True,
        "mixed_batch": True,
        "who_may": "Adults, led by a conservator",
        "caution": STONE
        + "Only as the conservator says. Lime burns skin and eyes: gloves, goggles, clean water "
        "at hand. No dry cutting or grinding of stone: the dust harms lungs.",
        "to_fetch": "what the conservator lists, gloves, goggles, clean water",
    },
]


def seed(apps, schema_editor):
    """Add the rows that are not there yet."""
    skill_model = apps.get_model("training", "Skill")
    for order, (key, name, minutes, stones) in enumerate(SKILLS):
        skill_model.objects.get_or_create(
            key=key,
            defaults={
                "name": name,
                "practised_minutes": minutes,
                "practised_stones": stones,
                "order": order,
            },
        )
    equipment_model = apps.get_model("workdays", "Equipment")
    for order, (key, name) in enumerate(EQUIPMENT):
        equipment_model.objects.get_or_create(key=key, defaults={"name": name, "order": order})
    kind_model = apps.get_model("workdays", "KindOfWork")
    for order, row in enumerate(KINDS):
        values = {**row, "skill": skill_model.objects.get(key=row["skill"]), "order": order}
        kind_model.objects.get_or_create(key=values.pop("key"), defaults=values)


class Migration(migrations.Migration):
    dependencies = [("workdays", "0001_initial"), ("training", "0001_initial")]

    operations = [migrations.RunPython(seed, migrations.RunPython.noop)]
