# Holds forms against their schema with the `jsonschema` package: prints for each of `unfit` how much is wrong with it, and
# fails if anything is wrong with one of `fit`, or with the schema.
import json
import sys

from jsonschema import Draft202012Validator

asked = json.load(sys.stdin)
Draft202012Validator.check_schema(asked["schema"])
validator = Draft202012Validator(asked["schema"])
for at, form in enumerate(asked["fit"]):
    for error in validator.iter_errors(form):
        sys.exit(f"form {at}: {error.json_path}: {error.message[:300]}")
for form in asked["unfit"]:
    print(len(list(validator.iter_errors(form))))
