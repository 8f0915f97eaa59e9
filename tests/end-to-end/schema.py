"""Records against their schema: schema.py SCHEMA < records, one JSON object a line."""
import json
import sys

import jsonschema

with open(sys.argv[1], encoding="utf-8") as file:
    schema = json.load(file)
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
count = wrong = 0
for line in sys.stdin:
    count += 1
    for error in validator.iter_errors(json.loads(line)):
        wrong += 1
        print(f"record {count}: {'/'.join(map(str, error.absolute_path))}: {error.message}")
if count == 0:
    sys.exit("no record came")
sys.exit(wrong > 0)
