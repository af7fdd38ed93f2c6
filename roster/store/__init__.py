"""The only floor that knows SQLAlchemy: tables, transactions, repositories."""
