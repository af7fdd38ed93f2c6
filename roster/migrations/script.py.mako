"""${message}"""

from alembic import op
import sqlalchemy as sa

from roster.store.base import Instant, Key
${imports if imports else ""}

revision = ${repr(up_revision)}
down_revision = ${repr(down_revision)}


def upgrade():
    ${upgrades if upgrades else "pass"}


def downgrade():
    raise NotImplementedError("go back by restoring the backup that upgrade made")
