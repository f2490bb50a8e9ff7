"""The command `bank`: a recorded bank's clips, what is wrong with them, and what is missing."""

from broadcaster.console.lists import show_list
from broadcaster.voice.bank_check import BankReport


def show_bank(report: BankReport) -> None:
    """Print a table of the clips, then what is wrong and missing."""
    print(f"{report.about} ({report.language})")
    show_list(
        {
            clip.name: {
                "length": f"{clip.seconds:.2f} s",
                "level": f"{clip.level_dbfs:.0f} dB",
                "remarks": "; ".join(clip.faults) or "good",
            }
            for clip in report.clips
        }
    )
    for kind, missing in (
        ("figures", report.missing_figures),
        ("letters", report.missing_letters),
    ):
        print(f"{kind} missing: {', '.join(missing) or 'none'}")
    print(f"{len(report.clips)} clips, {len(report.faults)} faults")
