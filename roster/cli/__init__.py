"""Commands: parse, call one use case, print its answer."""

# Every module listed here has COMMANDS, a list of click commands or groups.
COMMAND_MODULES = [
    "roster.cli.people",  # person add
    "roster.cli.exchange",  # import, import undo
    "roster.cli.clearance",  # cleared, rebuild
    "roster.cli.leads",  # leads
    "roster.cli.check",  # check
    "roster.cli.calendar",  # feed
    "roster.cli.jobs",  # jobs run, list, retry
    "roster.cli.running",  # upgrade, backup, restore, doctor, config, verify, journal
    "roster.cli.access",  # enter-codes (development)
]
