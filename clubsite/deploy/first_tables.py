"""Makes the tables of an empty database at once, as all migrations leave them at their end.

One by one they make and change tables for as long as it takes to think through their models some
hundred times; here the models are those after the last of them, and each table is made once. The
migrations are noted as applied, in the order in which they would have been: whoever looks at the
database later finds no difference, and later migrations and ways back begin as they would have
begun (``tests/stack/test_first_tables.py`` compares the two on both databases, to the last row and
constraint). A database that holds anything goes one by one.

Why no squashed migration: one of all would have to come after the tokens' tables (0014), which come
after ours of people (0001). Of two, the second would be run over the rows of a club that stands
where the first ends, without the steps that move them.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder

BEYOND_TABLES = (
    ("training.migrations.0023_counting_periods", "keep_apart"),
    ("training.migrations.0039_group_times", "keep_apart"),
)
"""Steps of migrations that make what no model says: module and function, in their order.

All others move rows, and an empty database has none: they take back what was typed (0009), bind
cards, tokens and sessions to people (0011, 0014, 0016, 0043), fill columns of rows that are there
(0019, 0021, 0032, 0033, 0053), derive rows from those of a club (0024, 0027, 0029, 0036, 0040) or
do something on the way back alone (0025, 0052).
"""


def is_empty(connection: BaseDatabaseWrapper) -> bool:
    """Whether the database has no table at all, not even somebody else's."""
    return not connection.introspection.table_names()


def make(connection: BaseDatabaseWrapper) -> None:
    """Make all tables and note all migrations, in one transaction: whole or not at all.

    Permissions and content types are made by Django's ``migrate``, which follows.
    """
    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    apps = executor.loader.project_state().apps
    noted: Any = MigrationRecorder.Migration
    with connection.schema_editor(atomic=True) as editor:
        editor.create_model(noted)
        for model in apps.get_models():
            if model._meta.managed and not model._meta.proxy:
                editor.create_model(model)
        for module, step in BEYOND_TABLES:
            getattr(import_module(module), step)(apps, editor)
        noted.objects.using(connection.alias).bulk_create(
            noted(app=one.app_label, name=one.name) for one, _ in plan
        )
