"""Keys of plans leave out what is usual, so that a new field does not change them."""

from alembic import op
from sqlalchemy import column, select, table

from server.domain.base.errors import InvalidInput
from server.domain.routine.plan import Plan
from server.domain.routine.plan_key import plan_key
from server.domain.whole.exchange import from_json

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

PLAN = table("plan", column("key"), column("document"))
RUN = table("run", column("plan_key"))


def upgrade() -> None:
    connection = op.get_bind()
    known = dict(connection.execute(select(PLAN.c.key, PLAN.c.document)).all())
    for old, document in known.items():
        try:
            new = plan_key(from_json(Plan, document))
        except InvalidInput:
            continue  # What cannot be read stays where its runs look for it.
        # Two keys may lead to one plan: versions before this one gave it another with each field.
        if connection.scalar(select(PLAN.c.key).where(PLAN.c.key == new)) is None:
            connection.execute(PLAN.insert().values(key=new, document=document))
        connection.execute(RUN.update().where(RUN.c.plan_key == old).values(plan_key=new))
        if new != old:
            connection.execute(PLAN.delete().where(PLAN.c.key == old))


def downgrade() -> None:
    """Nothing: a key leads to its plan, however it was made."""
