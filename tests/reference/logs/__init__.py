"""Invented instrument logs by which the import of logs is judged.

Every log is invented: no maker's file form is copied, no place or person is real. Beside each
`NAME.csv` (or `.txt`, `.tsv`) stands `NAME.expect.toml`: what a careful person takes from the
text alone, written before any import was run on it. Folders are styles of instrument or fault.

Keys of an expectation
    file          the log beside it
    outcome       "taken"; "asks": nothing is stored until `asks` is answered; "refused": nothing
                  is stored, one sentence says why
    also_right    other outcomes that a careful person may prefer. "taken" among them holds only
                  with these very columns and times or, in a refused log, with what `if_taken` says.
                  An outcome that is in neither key is wrong; so is any stored value that differs.
    why           the person's reason
    asks          what must be told: `what` (unit, basis, zone, start, interval, date, date_order,
                  time_unit, time_column, number_form, am_pm, site, column, parameter, headings,
                  row, replace, temperature_c, salinity_g_kg, altitude_m), for which `column`, and
                  the `answer` with which rows, columns and times below come out
    rows          rows that give at least one reading to be stored
    skipped       rows of the table that give none: marks for no value, torn, repeated under
                  another value, of another site. They are said. Comments, blank lines, headings,
                  repeated like rows and sums below the table count in neither.
    first_time,   local time as written; with an offset where the log gives a zone, then compared
    last_time     as moments. `time_tolerance_s` where fractions or rounding allow it;
                  `span_minutes` where the wall clock misleads.
    line, value   refused logs: line of the file (from 1) and what stands there
    reason        what the sentence must convey; its wording is free
    after,        logs read into the same place before this one, and the rows that must then be
    rows_together there in all
    columns       header; parameter as stored, or "none": named to the person and left out, which
                  never refuses the whole log by itself; unit as written (or told); first and last
                  by time, in stored units, beside the text they come from (`first_written`,
                  `last_written`); `tolerance_rel` where a conversion has one, else the value holds
                  to the fourth decimal; `source` of the conversion

Percent saturation becomes mg/L by Benson & Krause (1984), as in the USGS oxygen solubility tables.
The values expected here were worked another way: the Garcia & Gordon (1992) refit as in TEOS-10
(`gsw.O2sol_SP_pt`) times `gsw` density; other air pressures with the Magnus vapour pressure at
saturation, altitude with the ICAO standard atmosphere. They meet the EN 25814 table (9.87, 9.09,
8.42, 8.26, 7.83, 7.56 mg/L at 16, 20, 24, 25, 28, 30 °C) to its last digit, and the USGS figures
to three decimals (from memory: 14.621, 11.288, 9.092, 8.263, 7.559 at 0, 10, 20, 25, 30 °C) within
0.03 percent. Half a percent is allowed for other forms of the equation, never for a wrong unit.

Marks for no value are those in common use (-999, -9999, ---, NaN, n/a, OVER, cell errors: common
practice, no source). Limits of what water can be: pH 0 to 14; oxygen no more than under pure
oxygen gas (477 percent of air saturation, 1/0.2095); water between freezing and what live fish
bear. `large.py` makes the three logs too big to keep.
"""
