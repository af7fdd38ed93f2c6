"""${message}"""

from alembic import op
import sqlalchemy as sa

from roster.store.base import Instant, Key
${imports if imports else ""}

revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}


def upgrade() -> None:
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    raise NotImplementedError("go back by restoring the backup that upgrade made")
