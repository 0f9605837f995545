package shotlog

import "strings"

// oddFigures are logs whose figures could be taken for something that they are not, and
// cells that are nothing of what their column holds. Invented.
func oddFigures() []oddLog {
	insist := func(o *Options) { o.AsWritten = true }
	asLength := func(o *Options) { o.Mapped = map[string]string{"seconds": "time"} }
	const numbered = "date,count\n2026-03-02 07:40,1\n2026-03-02 07:50,2\n2026-03-03 07:40,3\n2026-03-04 07:40,4\n2026-03-05 07:40,5\n2026-03-06 07:40,6\n"
	const numberedRows = "2026-03-02 07:40|2026-03-02 07:50 ×2|2026-03-03 07:40 ×3|2026-03-04 07:40 ×4|2026-03-05 07:40 ×5|2026-03-06 07:40 ×6"
	const oneHour = "date,time,dose\n2026-03-02,0:28,18\n2026-03-03,0:31,18\n"
	return []oddLog{
		// Columns that run.
		{name: "the number of the row for shots", file: numbered, refused: "row 1: column 2, count: its figures only ever rise, over 6 rows: they look like the number of the row or the reading of a meter; pass the column over with --ignore 'count'; --as-written"},
		{name: "the number of the row, newest first", file: "date,shots\n2026-03-07,6\n2026-03-06,5\n2026-03-05,4\n2026-03-04,3\n2026-03-03,2\n2026-03-02,1\n", refused: "column 2, shots: its figures only ever fall"},
		{name: "the number of the row passed over", file: numbered, options: func(o *Options) { o.Ignore = []string{"count"} }, want: "2026-03-02 07:40|2026-03-02 07:50|2026-03-03 07:40|2026-03-04 07:40|2026-03-05 07:40|2026-03-06 07:40"},
		{name: "shots that do rise", file: numbered, options: insist, want: numberedRows},
		{name: "shots that rise and fall", file: "date,shots\n2026-03-02,1\n2026-03-03,2\n2026-03-04,3\n2026-03-05,4\n2026-03-06,5\n2026-03-07,5\n", want: "2026-03-02|2026-03-03 ×2|2026-03-04 ×3|2026-03-05 ×4|2026-03-06 ×5|2026-03-07 ×5"},
		{name: "a reading of litres for hot water", file: "date,hot_water\n2026-03-02,0.2\n2026-03-03,0.4\n2026-03-04,0.5\n2026-03-05,0.8\n2026-03-06,1\n2026-03-07,1.3\n", refused: "column 2, hot_water: its figures only ever rise"},
		{name: "a reading of shots", file: "date,shots\n2026-03-02,1203\n2026-03-03,1210\n", refused: "1203 shots in one row are unusual at home"},
		// How long a shot took, in the column of the time of day.
		{name: "lengths for times", file: oneHour, refused: "row 1: column 2, time: every time lies in the hour after midnight: they may be how long shots took; --map 'seconds=time' takes them for that"},
		{name: "lengths for times, said to be so", file: oneHour, options: asLength, want: "2026-03-02 18g 28s|2026-03-03 18g 31s"},
		{name: "coffee after midnight", file: oneHour, options: insist, want: "2026-03-02 00:28 18g|2026-03-03 00:31 18g"},
		{name: "one coffee after midnight", file: "date,time\n2026-03-02,0:28\n2026-03-03,7:31\n", want: "2026-03-02 00:28|2026-03-03 07:31"},
		{name: "seconds for times", file: "date,time\n2026-03-02,28\n", refused: `"28" cannot be taken; give a time of the day`},
		{name: "minutes and seconds with hours", file: "date,seconds\n2026-03-02,00:28:00\n", refused: `"1680" cannot be taken; give 0 to 300 s`},
		{name: "milliseconds", file: "date,seconds\n2026-03-02,28000\n", refused: `"28000" cannot be taken; give 0 to 300 s`},
		// Cells left empty.
		{name: "a day of which nothing is said", file: "date,shots\n2026-03-02,5\n2026-03-03,\n2026-03-04,4\n", refused: "row 2: column 2, shots: nothing is given, and nothing else tells of a shot; write 0 for a day without any; --as-written takes it as it stands, as one shot"},
		{name: "a day without shots", file: "date,shots\n2026-03-02,5\n2026-03-03,0\n", want: "2026-03-02 ×5|2026-03-03 ×0"},
		{name: "a shot that is not counted", file: "date,shots,drink\n2026-03-02,,latte\n2026-03-02,2,latte\n", want: "2026-03-02 latte|2026-03-02 ×2 latte"},
		{name: "a day written once for its rows", file: "date,dose,yield\n2026-03-02,18,36\n2026-03-03,18,36\n,18,36\n2026-03-04,18,36\n", refused: "row 3: column 1, date: nothing is given; give a day in each row, or a word such as total in one that holds sums: others with days follow it"},
		{name: "a day written once, of the first row", file: "date,dose\n2026-03-02,18\n,18\n2026-03-03,18\n", refused: "row 2: column 1, date: nothing is given"},
		{name: "sums of each month that say so", file: "date,dose\n2026-02-27,18\n2026-02-28,18\ntotal,36\n2026-03-01,18\n", want: "2026-02-27 18g|2026-02-28 18g|2026-03-01 18g", note: "row 3, which holds sums"},
		// Rows that come again.
		{name: "days without times that are in a file twice", file: "date,shots\n" + strings.Repeat("2026-03-02,5\n2026-03-03,4\n2026-03-04,6\n", 2), refused: "row 4: nearly every day of the file comes again after others, 3 of 3: they may be in it twice"},
		{name: "two shots each day without times", file: "date\n2026-03-02\n2026-03-02\n2026-03-03\n2026-03-03\n2026-03-04\n2026-03-04\n", want: "2026-03-02|2026-03-02|2026-03-03|2026-03-03|2026-03-04|2026-03-04"},
		// Dates.
		{name: "a 29 February that there was not", file: "date,dose\n2025-02-29,18\n", refused: `"2025-02-29" cannot be taken; give a day`},
		{name: "the day before the month behind a year", file: "date,dose\n2026-31-03,18\n", refused: `"2026-31-03" cannot be taken; give a day`},
		{name: "a day of a week", file: "date,dose\n2026-W10-1,18\n", refused: `"2026-W10-1" cannot be taken; give a day`},
		{name: "a day of the year", file: "date,dose\n2026-061,18\n", refused: `"2026-061" cannot be taken; give a day`},
		{name: "the end of a day as an hour", file: "date,dose\n2026-03-02 24:00,18\n", refused: "a time of the day behind the day"},
		{name: "a zone by its letters", file: "date,dose\n2026-03-02 07:40 PST,18\n", refused: "a time of the day behind the day"},
		{name: "a time before its day", file: "date,dose\n12:30 2026-03-02,18\n", refused: "a day such as"},
		{name: "a serial number a moment before midnight", file: "date,dose\n46082.99999999,18\n", options: insist, want: "2026-03-02 00:00 18g"},
		{name: "a day and a weekday", file: "date,day\n2026-03-02,Mon\n", refused: "header, column 2: \"day\" cannot be taken; give each column once"},
		{name: "Unix time in microseconds", file: "date,dose\n1772433600000000,18\n", refused: "a day such as"},
		// Numbers.
		{name: "from and to", file: "date,dose\n2026-03-02,18-19\n", refused: `"18-19" cannot be taken; give a number`},
		{name: "about", file: "date,dose\n2026-03-02,~18\n", refused: `"~18" cannot be taken; give a number`},
		{name: "less than nothing", file: "date,dose\n2026-03-02,-18\n", refused: `"-18" cannot be taken; give 0 to 40 g`},
		{name: "digits of another width", file: "date,dose\n2026-03-02,１８\n", refused: "cannot be taken; give a number"},
		{name: "no number by name", file: "date,dose\n2026-03-02,NaN\n", refused: `"NaN" cannot be taken; give a number`},
		{name: "a letter for a nought", file: "date,dose\n2026-03-02,1O\n", refused: `"1O" cannot be taken; give a number`},
		{name: "kilograms of a dose", file: "date,dose\n2026-03-02,0.018 kg\n", refused: `"0.018 kg" cannot be taken; give a number`},
		{name: "milligrams in the header", file: "date,dose (mg)\n2026-03-02,18000\n", refused: "header, column 2"},
		{name: "a drink in millilitres", file: "date,yield\n2026-03-02,36 ml\n", refused: "give a number, or a ratio such as 1:2"},
		{name: "milk in millilitres", file: "date,milk\n2026-03-02,150\n", refused: `"150" cannot be taken; give no more than the shots themselves`},
		{name: "a share of shots with milk", file: "date,steamed\n2026-03-02,50%\n", refused: "how many of the shots got steamed milk"},
		{name: "a quote that does not end", file: "date,dose\n2026-03-02,\"18\n2026-03-03,18\n", refused: "a quote that has no other"},
	}
}
