"""Logs that cannot be read, each with what is told of it: line, column, problem."""

from __future__ import annotations

HEADER = "seconds,phase,exercise,particles\n"

BROKEN: list[tuple[str | bytes, list[tuple[int, str, str]]]] = [
    ("", [(1, "", "The file is empty.")]),
    (HEADER, [(0, "", "The table has no rows below its header.")]),
    ("seconds;phase\n", [(1, "", "There is no column of particles.")]),
    ("second,phase\n1,mask\n", [(1, "", "There is no column of particles.")]),
    ("secands,phase,particles\n,mask,5\n", [(1, "seconds", "The column seconds is missing.")]),
    ("seconds,particles\n1,5\n", [(1, "phase", "The column phase is missing.")]),
    ("foo,bar\nx,y\n", [(1, "", "No row names the columns, and what they hold does not tell.")]),
    (
        "seconds,phase,Count,count\n1,mask,1,1\n",
        [(1, "", 'Several columns hold particles: "Count", "count".')],
    ),
    (
        "time,phase,particles\n12:00:01,mask,1\n12:00:02,mask,1\nnoon,mask,2\n12:00:04,mask,5\n12:00:05,mask,2\n"
        "12:00:06,mask,1\n",
        [(4, "time", '"noon" is no time.')],
    ),
    (HEADER + "1,mask,,nan\n", [(2, "particles", '"nan" is no number.')]),
    (HEADER + "1,mask,,\n", [(2, "particles", '"" is no number.')]),
    (HEADER + "1,mask,,1_000\n", [(2, "particles", '"1_000" is no number.')]),
    (HEADER + "1e999,mask,,1\n", [(2, "seconds", '"1e999" is no number.')]),
    (HEADER + "-1,mask,,1\n", [(2, "seconds", '"-1" is below 0.')]),
    (HEADER + "1,mask,,1.5\n", [(2, "particles", '"1.5" is no whole number.')]),
    (HEADER + "1,mask,,1e13\n", [(2, "particles", '"1e13" is above 1e+12.')]),
    ("seconds,phase,concentration,flow_cm3_s\n1,mask,1,0\n", [(2, "flow_cm3_s", '"0" is no flow.')]),
    (HEADER + "1,mask,grimmace,1\n", [(2, "exercise", '"grimmace" is no exercise.')]),
    (HEADER + "1,,talking,1\n", [(2, "phase", '"" is no phase.')]),
    (
        HEADER + "one,msak,,x\n\n1,mask,,2,5\n",
        [
            (4, "", "The row has 5 values, the header has 4."),
            (2, "seconds", '"one" is no number.'),
            (2, "phase", '"msak" is no phase.'),
            (2, "particles", '"x" is no number.'),
        ],
    ),
    (HEADER.encode() + b"1,mask,\xff,1\n", [(2, "exercise", '"ÿ" is no exercise.')]),
    (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", [(3, "", "This is no text: it holds a NUL byte.")]),
    ("a," * 10**6 + "\n", [(1, "", "The row is longer than 100000 characters.")]),
    (
        HEADER + "".join(f"{n},{('mask', 'ambient')[n % 2]},,1\n" for n in range(2000)),
        [(0, "", "The phase or the exercise changes more than 1000 times.")],
    ),
]
