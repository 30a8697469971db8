"""``python -m abreast.jobfile > docs/reference/job_folder.md`` makes the reference page anew."""

import sys

from abreast.jobfile.reference import reference_text

if __name__ == "__main__":
    sys.stdout.write(reference_text())
