#!/usr/bin/env bash
# Generated files are as their generators make them.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
python3 tables/generate.py --check
python3 tables/postal_forms.py --check
python3 tests/cases/make_cases.py --check
echo "generated: tables, forms of postal codes and cases are as their generators make them"
