"""Whether a document is PDF/A-2a and PDF/UA-1: prints `2a ua1`, or what is wrong, by page-validation."""
import sys
import page

passed = []
for profile in ("2a", "ua1"):
    report = page.validate_pdf(sys.argv[1], profile=profile)
    if report.is_compliant:
        passed.append(profile)
    else:
        for failure in report.failures[:10]:
            passed.append(f"{profile} {failure.rule_id}: {failure.message}")
print(" ".join(passed))
