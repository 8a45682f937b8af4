import uuid

import django.core.validators
import django.db.models.deletion
from django.db import migrations, models

import coordinator.models


class Migration(migrations.Migration):
    initial = True

    dependencies = [
        ("coordinator", "0001_initial"),
        ("training", "0001_initial"),
    ]

    operations = [
        migrations.CreateModel(
            name="Block",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=40)),
                (
                    "kind",
                    models.CharField(
                        choices=[("work", "work"), ("break", "break")], default="work", max_length=8
                    ),
                ),
                ("starts_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
            ],
            options={
                "ordering": ["starts_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Cemetery",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("slug", models.SlugField(unique=True)),
                ("owner_name", models.CharField(max_length=120)),
                ("owner_contact", models.CharField(blank=True, max_length=120)),
                ("owner_email", models.EmailField(blank=True, max_length=254)),
                ("owner_telephone", models.CharField(blank=True, max_length=40)),
                (
                    "owner_secret",
                    models.CharField(
                        default=coordinator.models.new_secret, max_length=64, unique=True
                    ),
                ),
                ("time_zone", models.CharField(default="America/New_York", max_length=60)),
                (
                    "latitude",
                    models.DecimalField(blank=True, decimal_places=5, max_digits=8, null=True),
                ),
                (
                    "longitude",
                    models.DecimalField(blank=True, decimal_places=5, max_digits=8, null=True),
                ),
                (
                    "address",
                    models.CharField(
                        help_text="As you would say it to an ambulance: road, number, gate.",
                        max_length=250,
                    ),
                ),
                (
                    "way_in",
                    models.TextField(
                        blank=True, help_text="How to find the gate and where to park."
                    ),
                ),
                ("water", models.CharField(blank=True, max_length=120)),
                ("toilet", models.CharField(blank=True, max_length=120)),
                ("shade", models.CharField(blank=True, max_length=120)),
                ("parking", models.CharField(blank=True, max_length=120)),
                ("phone_signal", models.CharField(blank=True, max_length=120)),
                ("notes", models.TextField(blank=True)),
            ],
            options={
                "verbose_name_plural": "cemeteries",
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="Equipment",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.SlugField(unique=True)),
                ("name", models.CharField(max_length=60)),
                ("order", models.PositiveSmallIntegerField(default=0)),
            ],
            options={
                "verbose_name_plural": "equipment",
                "ordering": ["order", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Host",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("contact_name", models.CharField(max_length=120)),
                ("email", models.EmailField(max_length=254)),
                ("telephone", models.CharField(blank=True, max_length=40)),
                (
                    "secret",
                    models.CharField(
                        default=coordinator.models.new_secret, max_length=64, unique=True
                    ),
                ),
                ("confirmed_at", models.DateTimeField(blank=True, null=True)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
            ],
            options={
                "ordering": ["name"],
            },
        ),
        migrations.CreateModel(
            name="Conclusion",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "kind",
                    models.CharField(
                        choices=[
                            ("leave_alone", "leave alone"),
                            ("conservator", "conservator"),
                            ("needs", "what it needs"),
                        ],
                        max_length=12,
                    ),
                ),
                ("needs", models.JSONField(blank=True, default=list)),
                ("look_again_on", models.DateField(blank=True, null=True)),
                ("reasons", models.JSONField(blank=True, default=list)),
                ("override_reason", models.CharField(blank=True, max_length=250)),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                (
                    "overridden_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="CrewPlan",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("draft", "draft"),
                            ("published", "published"),
                            ("old", "replaced"),
                        ],
                        default="draft",
                        max_length=10,
                    ),
                ),
                (
                    "version",
                    models.PositiveIntegerField(default=1, help_text="Rises with every hand move."),
                ),
                ("seed", models.BigIntegerField(default=0)),
                ("rounds", models.PositiveIntegerField(default=0)),
                ("solver", models.CharField(blank=True, max_length=60)),
                ("facts_hash", models.CharField(blank=True, max_length=64)),
                ("value", models.IntegerField(default=0)),
                ("terms", models.JSONField(blank=True, default=dict)),
                ("bound", models.IntegerField(blank=True, null=True)),
                ("proved", models.BooleanField(default=False)),
                (
                    "left_out",
                    models.JSONField(
                        blank=True,
                        default=dict,
                        help_text="Sentences by job and by person left out.",
                    ),
                ),
                ("made_at", models.DateTimeField(auto_now_add=True)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("published_at", models.DateTimeField(blank=True, null=True)),
                (
                    "made_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "published_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "ordering": ["-made_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Crew",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=40)),
                (
                    "block",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="crews",
                        to="workdays.block",
                    ),
                ),
                (
                    "lead",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "supervisor",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "plan",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="crews",
                        to="workdays.crewplan",
                    ),
                ),
            ],
            options={
                "ordering": ["block", "name", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Forecast",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "source",
                    models.CharField(
                        choices=[("hand", "entered by hand"), ("file", "read from a file")],
                        max_length=8,
                    ),
                ),
                ("hours", models.JSONField()),
                ("entered_at", models.DateTimeField(auto_now_add=True)),
                (
                    "entered_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "ordering": ["-entered_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Call",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "decision",
                    models.CharField(
                        choices=[
                            ("stands", "it stands"),
                            ("shortened", "it is shortened"),
                            ("moved", "it moves to the rain date"),
                            ("called_off", "it is called off"),
                        ],
                        max_length=10,
                    ),
                ),
                ("reason", models.CharField(max_length=500)),
                (
                    "starts_at",
                    models.DateTimeField(help_text="Start of the day as it stood after the call."),
                ),
                ("ends_at", models.DateTimeField()),
                ("at", models.DateTimeField(auto_now_add=True)),
                (
                    "by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "forecast",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        to="workdays.forecast",
                    ),
                ),
            ],
            options={
                "ordering": ["-at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Job",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("words", models.CharField(blank=True, max_length=160)),
                (
                    "priority",
                    models.PositiveSmallIntegerField(
                        default=30,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(100),
                        ],
                    ),
                ),
                (
                    "person_minutes",
                    models.PositiveIntegerField(
                        default=60,
                        validators=[
                            django.core.validators.MinValueValidator(5),
                            django.core.validators.MaxValueValidator(6000),
                        ],
                    ),
                ),
                ("minutes_left", models.PositiveIntegerField(blank=True, null=True)),
                (
                    "fewest",
                    models.PositiveSmallIntegerField(
                        default=2, validators=[django.core.validators.MinValueValidator(2)]
                    ),
                ),
                (
                    "most",
                    models.PositiveSmallIntegerField(
                        default=4, validators=[django.core.validators.MaxValueValidator(12)]
                    ),
                ),
                (
                    "lifters",
                    models.PositiveSmallIntegerField(
                        default=0, validators=[django.core.validators.MaxValueValidator(12)]
                    ),
                ),
                ("equipment", models.JSONField(blank=True, default=dict)),
                (
                    "wait_hours",
                    models.PositiveIntegerField(
                        default=0, help_text="Hours that must pass after its prerequisites."
                    ),
                ),
                ("earliest_on", models.DateField(blank=True, null=True)),
                (
                    "state",
                    models.CharField(
                        choices=[("open", "to do"), ("done", "done"), ("dropped", "dropped")],
                        default="open",
                        max_length=8,
                    ),
                ),
                ("done_at", models.DateTimeField(blank=True, null=True)),
                ("notes", models.TextField(blank=True)),
                (
                    "cemetery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="jobs",
                        to="workdays.cemetery",
                    ),
                ),
                (
                    "prerequisites",
                    models.ManyToManyField(blank=True, related_name="unlocks", to="workdays.job"),
                ),
            ],
            options={
                "ordering": ["-priority", "pk"],
            },
        ),
        migrations.CreateModel(
            name="CrewJob",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("starts_at", models.DateTimeField()),
                ("ends_at", models.DateTimeField()),
                (
                    "crew",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="crew_jobs",
                        to="workdays.crew",
                    ),
                ),
                (
                    "job",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="crew_jobs",
                        to="workdays.job",
                    ),
                ),
            ],
            options={
                "ordering": ["starts_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="KindOfWork",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.SlugField(unique=True)),
                ("name", models.CharField(max_length=60)),
                ("sign", models.CharField(max_length=20)),
                (
                    "leader_level",
                    models.PositiveSmallIntegerField(
                        choices=[
                            (0, "new"),
                            (1, "taught"),
                            (2, "practised"),
                            (3, "signed off"),
                            (4, "supervisor"),
                        ],
                        default=0,
                    ),
                ),
                (
                    "helper_level",
                    models.PositiveSmallIntegerField(
                        choices=[
                            (0, "new"),
                            (1, "taught"),
                            (2, "practised"),
                            (3, "signed off"),
                            (4, "supervisor"),
                        ],
                        default=0,
                    ),
                ),
                ("limits_new_people", models.BooleanField(default=False)),
                ("touches", models.BooleanField(default=False)),
                ("wets", models.BooleanField(default=False)),
                ("lifts", models.BooleanField(default=False)),
                ("digs", models.BooleanField(default=False)),
                ("adults_only", models.BooleanField(default=False)),
                ("needs_supervisor", models.BooleanField(default=False)),
                ("needs_conservator", models.BooleanField(default=False)),
                ("mixed_batch", models.BooleanField(default=False)),
                ("on_section", models.BooleanField(default=False)),
                ("who_may", models.CharField(max_length=160)),
                ("caution", models.TextField()),
                ("to_fetch", models.CharField(blank=True, max_length=250)),
                ("order", models.PositiveSmallIntegerField(default=0)),
                (
                    "skill",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        to="training.skill",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "kinds of work",
                "ordering": ["order", "pk"],
            },
        ),
        migrations.AddField(
            model_name="job",
            name="kind",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="jobs",
                to="workdays.kindofwork",
            ),
        ),
        migrations.CreateModel(
            name="Membership",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[("organiser", "organiser"), ("supervisor", "supervisor")],
                        max_length=10,
                    ),
                ),
                (
                    "cemetery",
                    models.ForeignKey(
                        blank=True,
                        help_text="None: the whole programme.",
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="memberships",
                        to="workdays.cemetery",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="memberships",
                        to="coordinator.person",
                    ),
                ),
            ],
        ),
        migrations.CreateModel(
            name="Party",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=120)),
                ("reserved", models.PositiveSmallIntegerField(default=0)),
                (
                    "secret",
                    models.CharField(
                        default=coordinator.models.new_secret, max_length=64, unique=True
                    ),
                ),
                (
                    "leader",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="parties_led",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "verbose_name_plural": "parties",
            },
        ),
        migrations.CreateModel(
            name="Permission",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("starts_on", models.DateField()),
                ("ends_on", models.DateField()),
                ("given_by", models.CharField(max_length=120)),
                ("given_on", models.DateField(blank=True, null=True)),
                ("terms", models.TextField(blank=True)),
                ("paper", models.FileField(blank=True, upload_to="private/permissions/")),
                (
                    "cemetery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="permissions",
                        to="workdays.cemetery",
                    ),
                ),
                (
                    "kinds",
                    models.ManyToManyField(related_name="permissions", to="workdays.kindofwork"),
                ),
            ],
            options={
                "ordering": ["cemetery", "-starts_on"],
            },
        ),
        migrations.CreateModel(
            name="Placement",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("pinned", models.BooleanField(default=False)),
                (
                    "crew",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="placements",
                        to="workdays.crew",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="placements",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "ordering": ["crew", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Section",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("name", models.CharField(max_length=80)),
                ("order", models.PositiveSmallIntegerField(default=0)),
                ("east_m", models.FloatField(default=0)),
                ("north_m", models.FloatField(default=0)),
                (
                    "outline",
                    models.JSONField(
                        blank=True,
                        default=list,
                        help_text="Corners as [east, north] in metres; may be empty.",
                    ),
                ),
                (
                    "cemetery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="sections",
                        to="workdays.cemetery",
                    ),
                ),
            ],
            options={
                "ordering": ["cemetery", "order", "pk"],
            },
        ),
        migrations.AddField(
            model_name="job",
            name="section",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="jobs",
                to="workdays.section",
            ),
        ),
        migrations.CreateModel(
            name="Stone",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("number", models.CharField(max_length=40)),
                ("row", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("position", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "type",
                    models.CharField(
                        choices=[
                            ("tablet", "tablet"),
                            ("shouldered", "shouldered tablet"),
                            ("obelisk", "obelisk"),
                            ("pedestal", "pedestal (die on a base)"),
                            ("ledger", "ledger"),
                            ("footstone", "footstone"),
                            ("flush", "flush marker"),
                            ("other", "other"),
                        ],
                        default="tablet",
                        max_length=12,
                    ),
                ),
                (
                    "material",
                    models.CharField(
                        choices=[
                            ("marble", "marble"),
                            ("granite", "granite"),
                            ("limestone", "limestone"),
                            ("sandstone", "sandstone"),
                            ("slate", "slate"),
                            ("concrete", "cast stone or concrete"),
                            ("metal", "cast metal"),
                            ("unknown", "not known"),
                        ],
                        default="unknown",
                        max_length=12,
                    ),
                ),
                (
                    "height_cm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(1500),
                        ],
                    ),
                ),
                (
                    "width_cm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(600),
                        ],
                    ),
                ),
                (
                    "thickness_cm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[
                            django.core.validators.MinValueValidator(1),
                            django.core.validators.MaxValueValidator(600),
                        ],
                    ),
                ),
                ("pieces", models.PositiveSmallIntegerField(default=1)),
                ("east_m", models.FloatField(blank=True, null=True)),
                ("north_m", models.FloatField(blank=True, null=True)),
                ("measured_how", models.CharField(blank=True, max_length=80)),
                (
                    "latitude",
                    models.DecimalField(blank=True, decimal_places=6, max_digits=9, null=True),
                ),
                (
                    "longitude",
                    models.DecimalField(blank=True, decimal_places=6, max_digits=9, null=True),
                ),
                ("name_on_stone", models.CharField(blank=True, max_length=160)),
                ("year_on_stone", models.PositiveSmallIntegerField(blank=True, null=True)),
                (
                    "certainty",
                    models.CharField(
                        choices=[
                            ("sure", "sure"),
                            ("likely", "likely"),
                            ("doubtful", "doubtful"),
                            ("unknown", "not known"),
                        ],
                        default="unknown",
                        max_length=10,
                    ),
                ),
                ("notes", models.TextField(blank=True)),
                (
                    "cemetery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stones",
                        to="workdays.cemetery",
                    ),
                ),
                (
                    "conclusion",
                    models.OneToOneField(
                        blank=True,
                        help_text="What is in force; none means not seen.",
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="in_force_for",
                        to="workdays.conclusion",
                    ),
                ),
                (
                    "section",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="stones",
                        to="workdays.section",
                    ),
                ),
            ],
            options={
                "ordering": ["cemetery", "section", "row", "position", "pk"],
            },
        ),
        migrations.AddField(
            model_name="job",
            name="stone",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="jobs",
                to="workdays.stone",
            ),
        ),
        migrations.AddField(
            model_name="conclusion",
            name="stone",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="conclusions",
                to="workdays.stone",
            ),
        ),
        migrations.CreateModel(
            name="Survey",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("on", models.DateField()),
                ("signs", models.JSONField(blank=True, default=list)),
                (
                    "sound",
                    models.CharField(
                        choices=[
                            ("unknown", "not tapped"),
                            ("solid", "solid ring"),
                            ("hollow", "hollow"),
                        ],
                        default="unknown",
                        max_length=8,
                    ),
                ),
                (
                    "lean_degrees",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(90)],
                    ),
                ),
                ("lean_direction", models.CharField(blank=True, max_length=20)),
                (
                    "height_above_cm",
                    models.PositiveSmallIntegerField(
                        blank=True,
                        null=True,
                        validators=[django.core.validators.MaxValueValidator(1500)],
                    ),
                ),
                ("pieces", models.PositiveSmallIntegerField(blank=True, null=True)),
                ("previous_repair", models.CharField(blank=True, max_length=250)),
                ("notes", models.TextField(blank=True)),
                ("recorded_at", models.DateTimeField(auto_now_add=True)),
                (
                    "by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "stone",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="surveys",
                        to="workdays.stone",
                    ),
                ),
            ],
            options={
                "ordering": ["-on", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="Photograph",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("file", models.FileField(upload_to="private/photographs/")),
                ("taken_on", models.DateField()),
                ("caption", models.CharField(blank=True, max_length=160)),
                ("shows_people", models.BooleanField(default=False)),
                (
                    "stone",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="photographs",
                        to="workdays.stone",
                    ),
                ),
                (
                    "survey",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        to="workdays.survey",
                    ),
                ),
            ],
            options={
                "ordering": ["taken_on", "pk"],
            },
        ),
        migrations.AddField(
            model_name="conclusion",
            name="survey",
            field=models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.PROTECT,
                related_name="conclusions",
                to="workdays.survey",
            ),
        ),
        migrations.CreateModel(
            name="Waiver",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("title", models.CharField(max_length=120)),
                ("version", models.PositiveSmallIntegerField()),
                ("language", models.CharField(default="en", max_length=10)),
                ("text", models.TextField()),
                ("text_sha256", models.CharField(max_length=64)),
                (
                    "validity",
                    models.CharField(
                        choices=[
                            ("day", "for one day"),
                            ("season", "until the end of the calendar year"),
                            ("version", "until a new version"),
                        ],
                        default="season",
                        max_length=8,
                    ),
                ),
                ("published_at", models.DateTimeField(blank=True, null=True)),
                (
                    "cemetery",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="waivers",
                        to="workdays.cemetery",
                    ),
                ),
            ],
            options={
                "ordering": ["-version"],
            },
        ),
        migrations.CreateModel(
            name="Signature",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "role",
                    models.CharField(
                        choices=[("self", "for themselves"), ("guardian", "as guardian")],
                        default="self",
                        max_length=8,
                    ),
                ),
                ("relation", models.CharField(blank=True, max_length=40)),
                ("typed_name", models.CharField(max_length=120)),
                ("text", models.TextField()),
                ("text_sha256", models.CharField(max_length=64)),
                ("version", models.PositiveSmallIntegerField()),
                ("language", models.CharField(max_length=10)),
                ("affirmed", models.CharField(max_length=160)),
                ("method", models.CharField(max_length=60)),
                ("signed_at", models.DateTimeField()),
                (
                    "confirmed_at",
                    models.DateTimeField(
                        blank=True,
                        help_text="Valid from the moment the mailed link was answered.",
                        null=True,
                    ),
                ),
                ("valid_until", models.DateField(blank=True, null=True)),
                ("paper", models.FileField(blank=True, upload_to="private/waivers/")),
                ("withdrawn_at", models.DateTimeField(blank=True, null=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signatures",
                        to="coordinator.person",
                    ),
                ),
                (
                    "signed_by",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signatures_given",
                        to="coordinator.person",
                    ),
                ),
                (
                    "waiver",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="signatures",
                        to="workdays.waiver",
                    ),
                ),
            ],
            options={
                "ordering": ["-signed_at", "-pk"],
            },
        ),
        migrations.CreateModel(
            name="WeatherLimit",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=40)),
                ("applies_to", models.CharField(max_length=20)),
                ("measure", models.CharField(max_length=30)),
                ("comparison", models.CharField(max_length=20)),
                (
                    "value",
                    models.DecimalField(blank=True, decimal_places=2, max_digits=7, null=True),
                ),
                ("unit", models.CharField(blank=True, max_length=12)),
                ("verdict", models.CharField(max_length=8)),
                ("hours_before", models.PositiveSmallIntegerField(default=0)),
                ("hours_after", models.PositiveSmallIntegerField(default=0)),
                ("sentence", models.CharField(max_length=250)),
                ("source", models.CharField(max_length=250)),
                (
                    "cemetery",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="weather_limits",
                        to="workdays.cemetery",
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
            },
        ),
        migrations.CreateModel(
            name="Workday",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "purpose",
                    models.CharField(
                        choices=[("workday", "workday"), ("clinic", "clinic")],
                        default="workday",
                        max_length=8,
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("draft", "not open yet"),
                            ("open", "open for sign-up"),
                            ("called_off", "called off"),
                            ("closed", "closed"),
                        ],
                        default="draft",
                        max_length=10,
                    ),
                ),
                ("starts_at", models.DateTimeField(db_index=True)),
                ("ends_at", models.DateTimeField()),
                ("rain_on", models.DateField(blank=True, null=True)),
                ("moved_from", models.DateField(blank=True, null=True)),
                (
                    "cut_off_at",
                    models.DateTimeField(help_text="Until when places may be taken and answered."),
                ),
                ("call_by_at", models.DateTimeField(help_text="By when the weather call is made.")),
                ("meeting_point", models.CharField(max_length=160)),
                (
                    "capacity",
                    models.PositiveSmallIntegerField(
                        default=20,
                        validators=[
                            django.core.validators.MinValueValidator(2),
                            django.core.validators.MaxValueValidator(500),
                        ],
                    ),
                ),
                (
                    "fewest_people",
                    models.PositiveSmallIntegerField(
                        default=4, validators=[django.core.validators.MinValueValidator(2)]
                    ),
                ),
                ("bring", models.CharField(blank=True, max_length=250)),
                ("words", models.TextField(blank=True)),
                ("equipment", models.JSONField(blank=True, default=dict)),
                ("uid", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("sequence", models.PositiveIntegerField(default=0)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("closed_at", models.DateTimeField(blank=True, null=True)),
                (
                    "cemetery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="days",
                        to="workdays.cemetery",
                    ),
                ),
                (
                    "closed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "jobs",
                    models.ManyToManyField(blank=True, related_name="days", to="workdays.job"),
                ),
                (
                    "teaches",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        to="training.skill",
                    ),
                ),
            ],
            options={
                "ordering": ["starts_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="SignUp",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("unconfirmed", "unconfirmed"),
                            ("waiting", "on the waiting list"),
                            ("offered", "offered a place"),
                            ("coming", "coming"),
                            ("withdrawn", "withdrawn"),
                            ("lapsed", "lapsed"),
                        ],
                        max_length=12,
                    ),
                ),
                ("held_until", models.DateTimeField(blank=True, null=True)),
                (
                    "question_open",
                    models.BooleanField(
                        default=False,
                        help_text="The day moved; the person has not said yes to the new date.",
                    ),
                ),
                ("comes_at", models.DateTimeField(blank=True, null=True)),
                ("leaves_at", models.DateTimeField(blank=True, null=True)),
                ("experience", models.JSONField(blank=True, default=dict)),
                ("cannot_lift", models.BooleanField(default=False)),
                ("cannot_kneel", models.BooleanField(default=False)),
                ("cannot_stand_long", models.BooleanField(default=False)),
                ("languages", models.JSONField(blank=True, default=list)),
                ("words", models.CharField(blank=True, max_length=500)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "guardian",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="wards",
                        to="coordinator.person",
                    ),
                ),
                (
                    "party",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="sign_ups",
                        to="workdays.party",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sign_ups",
                        to="coordinator.person",
                    ),
                ),
                (
                    "wishes",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        to="training.skill",
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="sign_ups",
                        to="workdays.workday",
                    ),
                ),
            ],
            options={
                "ordering": ["created_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="RollEntry",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("arrived_at", models.DateTimeField()),
                ("left_at", models.DateTimeField(blank=True, null=True)),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="roll",
                        to="coordinator.person",
                    ),
                ),
                (
                    "recorded_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="roll",
                        to="workdays.workday",
                    ),
                ),
            ],
            options={
                "ordering": ["arrived_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="PlanRun",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("asked", "asked for"),
                            ("running", "running"),
                            ("done", "done"),
                            ("failed", "failed"),
                        ],
                        default="asked",
                        max_length=8,
                    ),
                ),
                ("seed", models.BigIntegerField(default=1)),
                ("asked_at", models.DateTimeField(auto_now_add=True)),
                ("started_at", models.DateTimeField(blank=True, null=True)),
                ("finished_at", models.DateTimeField(blank=True, null=True)),
                ("value", models.IntegerField(blank=True, null=True)),
                ("bound", models.IntegerField(blank=True, null=True)),
                ("words", models.CharField(blank=True, max_length=500)),
                (
                    "asked_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "plan",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        to="workdays.crewplan",
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="plan_runs",
                        to="workdays.workday",
                    ),
                ),
            ],
            options={
                "ordering": ["-asked_at", "-pk"],
            },
        ),
        migrations.AddField(
            model_name="party",
            name="day",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="parties",
                to="workdays.workday",
            ),
        ),
        migrations.CreateModel(
            name="Notice",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("reason", models.CharField(max_length=60)),
                ("created_at", models.DateTimeField(auto_now_add=True)),
                ("seen_at", models.DateTimeField(blank=True, null=True)),
                (
                    "call",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="notices",
                        to="workdays.call",
                    ),
                ),
                (
                    "message",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        to="coordinator.sentmessage",
                    ),
                ),
                (
                    "person",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="notices",
                        to="coordinator.person",
                    ),
                ),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="notices",
                        to="workdays.workday",
                    ),
                ),
            ],
            options={
                "ordering": ["created_at", "pk"],
            },
        ),
        migrations.CreateModel(
            name="Invite",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("mailbox", models.EmailField(max_length=254)),
                ("uid", models.UUIDField(default=uuid.uuid4, editable=False, unique=True)),
                ("sequence", models.PositiveIntegerField(default=0)),
                ("rescheduled_sequence", models.PositiveIntegerField(default=0)),
                (
                    "state",
                    models.CharField(
                        choices=[("live", "live"), ("cancelled", "cancelled")],
                        default="live",
                        max_length=10,
                    ),
                ),
                ("first_message_id", models.CharField(blank=True, max_length=200)),
                ("last_message_id", models.CharField(blank=True, max_length=200)),
                ("content_sha256", models.CharField(blank=True, max_length=64)),
                (
                    "day",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="invites",
                        to="workdays.workday",
                    ),
                ),
            ],
        ),
        migrations.AddField(
            model_name="forecast",
            name="day",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="forecasts",
                to="workdays.workday",
            ),
        ),
        migrations.AddField(
            model_name="crewplan",
            name="day",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="plans",
                to="workdays.workday",
            ),
        ),
        migrations.AddField(
            model_name="call",
            name="day",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.PROTECT,
                related_name="calls",
                to="workdays.workday",
            ),
        ),
        migrations.CreateModel(
            name="Booking",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("place", models.CharField(blank=True, max_length=160)),
                ("wished_on", models.DateField()),
                ("or_on", models.DateField(blank=True, null=True)),
                (
                    "people",
                    models.PositiveSmallIntegerField(
                        validators=[
                            django.core.validators.MinValueValidator(2),
                            django.core.validators.MaxValueValidator(100),
                        ]
                    ),
                ),
                ("words", models.TextField(blank=True)),
                (
                    "state",
                    models.CharField(
                        choices=[
                            ("asked", "asked for"),
                            ("accepted", "accepted"),
                            ("refused", "refused"),
                            ("withdrawn", "withdrawn"),
                        ],
                        default="asked",
                        max_length=10,
                    ),
                ),
                ("answer", models.CharField(blank=True, max_length=500)),
                ("answered_at", models.DateTimeField(blank=True, null=True)),
                ("asked_at", models.DateTimeField(auto_now_add=True)),
                (
                    "answered_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
                (
                    "skill",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, to="training.skill"
                    ),
                ),
                (
                    "cemetery",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bookings",
                        to="workdays.cemetery",
                    ),
                ),
                (
                    "host",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="bookings",
                        to="workdays.host",
                    ),
                ),
                (
                    "day",
                    models.OneToOneField(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.SET_NULL,
                        related_name="booking",
                        to="workdays.workday",
                    ),
                ),
            ],
            options={
                "ordering": ["asked_at", "pk"],
            },
        ),
        migrations.AddField(
            model_name="block",
            name="day",
            field=models.ForeignKey(
                on_delete=django.db.models.deletion.CASCADE,
                related_name="blocks",
                to="workdays.workday",
            ),
        ),
        migrations.CreateModel(
            name="CemeterySetting",
            fields=[
                (
                    "id",
                    models.BigAutoField(
                        auto_created=True, primary_key=True, serialize=False, verbose_name="ID"
                    ),
                ),
                ("key", models.CharField(max_length=40)),
                ("value", models.JSONField()),
                ("source", models.CharField(max_length=250)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                (
                    "cemetery",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE,
                        related_name="settings",
                        to="workdays.cemetery",
                    ),
                ),
                (
                    "changed_by",
                    models.ForeignKey(
                        blank=True,
                        null=True,
                        on_delete=django.db.models.deletion.PROTECT,
                        related_name="+",
                        to="coordinator.person",
                    ),
                ),
            ],
            options={
                "ordering": ["cemetery", "key"],
                "constraints": [
                    models.UniqueConstraint(fields=("cemetery", "key"), name="one_value_a_setting")
                ],
            },
        ),
        migrations.AddConstraint(
            model_name="crew",
            constraint=models.UniqueConstraint(
                fields=("plan", "block", "lead"), name="one_crew_a_lead"
            ),
        ),
        migrations.AddConstraint(
            model_name="crewjob",
            constraint=models.UniqueConstraint(fields=("crew", "job"), name="one_crew_job"),
        ),
        migrations.AddConstraint(
            model_name="crewjob",
            constraint=models.CheckConstraint(
                condition=models.Q(("ends_at__gt", models.F("starts_at"))),
                name="crew_job_ends_after_start",
            ),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.UniqueConstraint(
                fields=("person", "role", "cemetery"), name="one_membership"
            ),
        ),
        migrations.AddConstraint(
            model_name="membership",
            constraint=models.UniqueConstraint(
                condition=models.Q(("cemetery__isnull", True)),
                fields=("person", "role"),
                name="one_membership_of_all",
            ),
        ),
        migrations.AddConstraint(
            model_name="permission",
            constraint=models.CheckConstraint(
                condition=models.Q(("ends_on__gte", models.F("starts_on"))),
                name="permission_ends_after_start",
            ),
        ),
        migrations.AddConstraint(
            model_name="placement",
            constraint=models.UniqueConstraint(
                fields=("crew", "person"), name="one_placement_a_crew"
            ),
        ),
        migrations.AddConstraint(
            model_name="section",
            constraint=models.UniqueConstraint(
                fields=("cemetery", "name"), name="one_section_a_name"
            ),
        ),
        migrations.AddConstraint(
            model_name="stone",
            constraint=models.UniqueConstraint(
                fields=("cemetery", "number"), name="one_stone_a_number"
            ),
        ),
        migrations.AddIndex(
            model_name="job",
            index=models.Index(fields=["cemetery", "state", "-priority"], name="job_backlog"),
        ),
        migrations.AddConstraint(
            model_name="job",
            constraint=models.CheckConstraint(
                condition=models.Q(("most__gte", models.F("fewest"))),
                name="job_most_not_below_fewest",
            ),
        ),
        migrations.AddConstraint(
            model_name="job",
            constraint=models.CheckConstraint(
                condition=models.Q(("priority__gte", 1), ("priority__lte", 100)),
                name="job_priority_1_to_100",
            ),
        ),
        migrations.AddIndex(
            model_name="survey",
            index=models.Index(fields=["stone", "-on"], name="survey_newest"),
        ),
        migrations.AddConstraint(
            model_name="waiver",
            constraint=models.UniqueConstraint(
                fields=("cemetery", "version", "language"), name="one_text_a_version"
            ),
        ),
        migrations.AddConstraint(
            model_name="waiver",
            constraint=models.UniqueConstraint(
                condition=models.Q(("cemetery__isnull", True)),
                fields=("version", "language"),
                name="one_general_text_a_version",
            ),
        ),
        migrations.AddConstraint(
            model_name="weatherlimit",
            constraint=models.UniqueConstraint(fields=("cemetery", "key"), name="one_limit_a_key"),
        ),
        migrations.AddConstraint(
            model_name="weatherlimit",
            constraint=models.UniqueConstraint(
                condition=models.Q(("cemetery__isnull", True)),
                fields=("key",),
                name="one_general_limit_a_key",
            ),
        ),
        migrations.AddConstraint(
            model_name="workday",
            constraint=models.CheckConstraint(
                condition=models.Q(("ends_at__gt", models.F("starts_at"))),
                name="day_ends_after_start",
            ),
        ),
        migrations.AddConstraint(
            model_name="signup",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state__in", ["withdrawn", "lapsed"]), _negated=True),
                fields=("day", "person"),
                name="one_live_sign_up_a_day",
            ),
        ),
        migrations.AddConstraint(
            model_name="rollentry",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("left_at__isnull", True),
                    ("left_at__gte", models.F("arrived_at")),
                    _connector="OR",
                ),
                name="roll_left_after_arrived",
            ),
        ),
        migrations.AddConstraint(
            model_name="rollentry",
            constraint=models.UniqueConstraint(
                condition=models.Q(("left_at__isnull", True)),
                fields=("day", "person"),
                name="one_open_roll_entry",
            ),
        ),
        migrations.AddConstraint(
            model_name="invite",
            constraint=models.UniqueConstraint(
                fields=("day", "mailbox"), name="one_invite_a_mailbox"
            ),
        ),
        migrations.AddConstraint(
            model_name="crewplan",
            constraint=models.UniqueConstraint(
                condition=models.Q(("state", "published")),
                fields=("day",),
                name="one_published_plan_a_day",
            ),
        ),
        migrations.AddConstraint(
            model_name="block",
            constraint=models.CheckConstraint(
                condition=models.Q(("ends_at__gt", models.F("starts_at"))),
                name="block_ends_after_start",
            ),
        ),
    ]
