"""Writes GRIB samples, in a process of its own as eccodes must not be loaded beside the rest.

Standard input: a JSON list of messages, each {"sample": name, "keys": [[key, value], ...], "values": [...]} with null
for a missing value. Standard output: the messages one after another.
"""

import json
import sys

import eccodes

MISSING = 9999.0


def main() -> None:
    for message in json.load(sys.stdin):
        handle = eccodes.codes_grib_new_from_samples(message["sample"])
        for key, value in message["keys"]:
            eccodes.codes_set(handle, key, value)
        values = message["values"]
        if None in values:
            eccodes.codes_set(handle, "bitmapPresent", 1)
            eccodes.codes_set(handle, "missingValue", MISSING)
            values = [MISSING if value is None else value for value in values]
        eccodes.codes_set_values(handle, values)
        sys.stdout.buffer.write(eccodes.codes_get_message(handle))
        eccodes.codes_release(handle)


if __name__ == "__main__":
    main()
