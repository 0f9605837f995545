package shotlog

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"limekeep/schedule/record"
	"limekeep/water/figure"
)

// oddLog is a log as somebody may have it, with what must become of it: either
// its rows as told writes them, parted by bars, or a part of the message.
type oddLog struct {
	name, file string
	want       string
	refused    string
	note       string // a part of the notes
	options    func(*Options)
	pipe       bool
}

// told writes a row short: day, time, shots where not one, dose and yield,
// seconds, milk drinks, hot water in millilitres, words.
func told(r record.UseRow) string {
	text := r.Date.String()
	if r.Minute >= 0 {
		text += fmt.Sprintf(" %02d:%02d", r.Minute/60, r.Minute%60)
	}
	if r.Shots != 1 {
		text += fmt.Sprintf(" ×%g", r.Shots)
	}
	for _, v := range []struct {
		format string
		x      float64
	}{{" %gg", r.DoseGrams}, {" >%gg", r.YieldGrams}, {" %gs", r.Seconds}, {" milk %g", r.Steamed}, {" water %g", r.HotWaterLitres * 1000}} {
		if v.x != 0 {
			text += fmt.Sprintf(v.format, v.x)
		}
	}
	for _, w := range []string{r.Grind, r.Drink, r.Beans, r.Note} {
		if w != "" {
			text += " " + w
		}
	}
	return text
}

func inUTF16(text string, high bool) string {
	var out []byte
	for _, unit := range utf16.Encode([]rune("\uFEFF" + text)) {
		if high {
			out = append(out, byte(unit>>8), byte(unit))
		} else {
			out = append(out, byte(unit), byte(unit>>8))
		}
	}
	return string(out)
}

// A row of a good log, in the many ways of writing it.
const plainRow = "2026-03-02 07:40 18g >36g"

// oddLogs are invented. The days of serial numbers and Unix times are those that
// other programs show: 46083 is 2 March 2026 in a spreadsheet (DATE(2026,3,2)
// there), 1772433600 the same day at 06:40 UTC (date -u -d @1772433600).
func oddLogs() []oddLog {
	with := func(change func(*Options)) func(*Options) { return change }
	return []oddLog{
		// What a file is written in.
		{name: "UTF-16, low byte first", file: inUTF16("date,dose,yield\n2026-03-02 07:40,18,36\n", false), want: plainRow},
		{name: "UTF-16, high byte first", file: inUTF16("date;note\r\n2026-03-02;crème\r\n", true), want: "2026-03-02 crème"},
		{name: "UTF-16 with a mark of UTF-8 in a note", file: inUTF16("date\tdose\r\n2026-03-02\t18,5\r\n", false), want: "2026-03-02 18.5g"},
		{name: "line ends of old Macs", file: "date,dose\r2026-03-02,18\r2026-03-03,18\r", want: "2026-03-02 18g|2026-03-03 18g"},
		{name: "line ends of two kinds", file: "date,dose\n2026-03-02,18\r2026-03-03,18\n", refused: "one kind of line ends"},
		{name: "sep", file: "sep=;\ndate;dose;yield\n2026-03-02 07:40;18;36\n", want: plainRow},
		{name: "sep with quotes and a comma", file: "\"sep=,\"\r\ndate,dose,yield\r\n2026-03-02 07:40,18,36\r\n", want: plainRow},
		{name: "bars", file: "date|dose|yield\n2026-03-02 07:40|18|36\n", want: plainRow},
		{name: "a workbook", file: "PK\x03\x04\x14\x00\x06\x00", refused: "a workbook"},
		{name: "JSON", file: "[{\"date\": \"2026-03-02\"}]", refused: "a file of JSON"},
		{name: "a note over two lines of Windows", file: "date,note\r\n2026-03-02,\"one\r\ntwo\"\r\n", want: "2026-03-02 one\ntwo"},
		// What stands around the rows.
		{name: "a title", file: "My shots 2026\ndate,dose,yield\n2026-03-02 07:40,18,36\n", want: plainRow, note: "passed over a line before the header"},
		{name: "a title with other marks, and a blank line", file: "Shots, beans, and more\n\ndate;dose;yield\n2026-03-02 07:40;18;36\n", want: plainRow, note: "a line before the header"},
		{name: "two lines of title as wide as the table", file: "Log,,\nKitchen,,\ndate,dose,yield\n2026-03-02 07:40,18,36\n", want: plainRow, note: "2 lines before the header"},
		{name: "no header", file: "2026-03-02,18,36\n2026-03-03,18,36\n", refused: "a first row that names the columns"},
		{name: "the header once more", file: "date,dose\n2026-03-02,18\nDate,Dose\n2026-03-03,18\n", want: "2026-03-02 18g|2026-03-03 18g", note: "a row that is the header once more"},
		{name: "a total at the end", file: "date,dose,yield\n2026-03-02,18,36\n2026-03-03,18,36\nTotal,36,72\n", want: "2026-03-02 18g >36g|2026-03-03 18g >36g", note: "row 3, which holds sums"},
		{name: "sums in German in another column", file: "date,dose,note\n2026-03-02,18,gut\n,18,Summe\n", want: "2026-03-02 18g gut", note: "row 2, which holds sums"},
		{name: "sums without a word", file: "date,dose,yield\n2026-03-02,18,36\n2026-03-03,18.5,37\n,36.5,73\n", want: "2026-03-02 18g >36g|2026-03-03 18.5g >37g", note: "row 3, which holds sums"},
		{name: "means without a word", file: "date,dose,yield\n2026-03-02,18,36\n2026-03-03,19,38\n,18.5,37\n", want: "2026-03-02 18g >36g|2026-03-03 19g >38g", note: "sums"},
		{name: "a sum that is a formula", file: "date,dose\n2026-03-02,18\nsum:,=SUM(B2:B2)\n", want: "2026-03-02 18g", note: "sums"},
		{name: "a row without a date that is no sum", file: "date,dose,yield\n2026-03-02,18,36\n2026-03-03,18,36\n,17,35\n", refused: "row 3: column 1, date: nothing is given"},
		{name: "figures in a column without a name", file: "date,dose,\n2026-03-02,18,36\n", refused: "column 3: \"36\" cannot be taken; give a name for this column"},
		{name: "a decimal comma between commas", file: "date,dose,yield\n2026-03-02,18,5,36\n", refused: "a decimal comma in a file parted by commas needs quotes"},
		{name: "a decimal comma between commas that fits", file: "date,dose,yield\n2026-03-02,18,5\n", refused: "5 g in the cup"},
		// Dates.
		{name: "a date in one piece", file: "date,dose\n20260302,18\n", want: "2026-03-02 18g"},
		{name: "date and time in one piece", file: "date,dose,yield\n20260302074012,18,36\n202603020740,18,36\n20260302T0740,18,36\n", options: with(func(o *Options) { o.AsWritten = true }),
			want: plainRow + "|" + plainRow + "|" + plainRow},
		{name: "a date in one piece that there is not", file: "date,dose\n20261302,18\n", refused: `"20261302" cannot be taken; give a day such as`},
		{name: "names of months", file: "date,dose\n2 March 2026,18\n\"March 3, 2026\",18\n4-Mar-26,18\n05 mar 2026,18\n6. März 2026,18\n7 mars 2026,18\nSun 8 Mar 2026,18\n", want: "2026-03-02 18g|2026-03-03 18g|2026-03-04 18g|2026-03-05 18g|2026-03-06 18g|2026-03-07 18g|2026-03-08 18g"},
		{name: "names of months with times", file: "date,dose,yield\n\"Mar 2, 2026 7:40 AM\",18,36\n2 Mar 2026 07:40:10,18,36\n", want: plainRow + "|" + plainRow},
		{name: "a Tuesday in French", file: "date,dose\nmar. 3 mars 2026,18\nmardi 3 févr. 2026,18\n", want: "2026-03-03 18g|2026-02-03 18g"},
		{name: "a month without a year", file: "date,dose\n2 March,18\n", refused: "a day such as 2026-03-31"},
		{name: "a year of two digits before a month", file: "date,dose\n26 Mar 2,18\n", refused: "a day such as"},
		{name: "the date of a mail", file: "date,dose,yield\n\"Mon, 02 Mar 2026 06:40:00 +0000\",18,36\n2026-03-02 06:40:00 UTC,18,36\n", want: plainRow + "|" + plainRow},
		{name: "dots and blanks", file: "date,dose\n2. 3. 2026,18\n2.3.2026.,18\n", want: "2026-03-02 18g|2026-03-02 18g"},
		{name: "serial numbers", file: "date,dose,yield\n46083,18,36\n46084,18,36\n", want: "2026-03-02 18g >36g|2026-03-03 18g >36g", note: "serial numbers"},
		{name: "serial numbers with times", file: "date,dose,yield\n46083.3194444444,18,36\n", want: plainRow, note: "serial numbers"},
		{name: "serial numbers with decimal commas", file: "date;dose;yield\n46083,3194444444;18,0;36,0\n", want: plainRow},
		{name: "serial numbers and times apart", file: "date,time,dose,yield\n46083,0.319444444444444,18,36\n46083,0.5,18,36\n", want: plainRow + "|2026-03-02 12:00 18g >36g"},
		{name: "a fraction that could be a clock, in a file of fractions", file: "date,time\n2026-03-02,0.25\n2026-03-02,0.3194444\n", want: "2026-03-02 06:00|2026-03-02 07:40"},
		{name: "a fraction that could be a clock, in a file of clocks", file: "date,time\n2026-03-02,0.25\n2026-03-02,7.40\n", want: "2026-03-02 00:25|2026-03-02 07:40"},
		{name: "a fraction that could be a clock, alone", file: "date,time\n2026-03-02,0.25\n", refused: "minutes past midnight or a part of a day"},
		{name: "Unix time", file: "timestamp,dose,yield\n1772433600,18,36\n", want: plainRow},
		{name: "Unix time in milliseconds", file: "timestamp,dose,yield\n1772433600123,18,36\n", want: plainRow},
		{name: "a number that is no date", file: "date,dose\n302,18\n", refused: `"302" cannot be taken; give a day such as`},
		{name: "years of two digits, first or last", file: "date,dose\n22-03-24,18\n22-03-25,18\n", refused: "years of four digits"},
		{name: "years of two digits behind months", file: "date,dose\n3/2/26,18\n3/31/26,18\n", want: "2026-03-02 18g|2026-03-31 18g"},
		{name: "midnight everywhere", file: "date,dose\n2026-03-02 00:00:00,18\n2026-03-03 00:00:00,18\n", want: "2026-03-02 18g|2026-03-03 18g", note: "every time is midnight"},
		{name: "midnight everywhere as Americans write it", file: "date,dose\n3/14/2026 12:00:00 AM,18\n", want: "2026-03-14 18g", note: "every time is midnight"},
		{name: "midnight once", file: "date,dose\n2026-03-02 00:00:00,18\n2026-03-02 07:40,18\n", want: "2026-03-02 00:00 18g|2026-03-02 07:40 18g"},
		{name: "midnight everywhere through a pipe", file: "date,dose\n2026-03-02 00:00,18\n2026-03-03 00:00,18\n", pipe: true, refused: "every time is midnight"},
		{name: "times in other ways", file: "date,time\n2026-03-02,0740\n2026-03-02,7h41\n2026-03-02,7:42 pm\n", want: "2026-03-02 07:40|2026-03-02 07:41|2026-03-02 19:42"},
		// Numbers.
		{name: "thousands in a file of decimal commas", file: "date;shots;hot_water_ml\n2026-03-02;2,5;1.250\n", want: "2026-03-02 ×2.5 water 1250"},
		{name: "thousands before the first decimal comma", file: "date;dose;hot_water_ml\n2026-03-02;18;1.250\n2026-03-03;18,5;100\n", want: "2026-03-02 18g water 1250|2026-03-03 18.5g water 100"},
		{name: "litres with thousands in a file of decimal commas", file: "date;dose;hot_water_l\n2026-03-02;18,5;1.250\n", refused: `"1.250" cannot be taken; give at most 200 litres`},
		{name: "a comma that nothing explains", file: "date,dose,hot_water_ml\n2026-03-02,18,\"1,250\"\n", refused: `column 3, hot_water_ml: "1,250" cannot be taken; give a number with its unit, such as 150 ml or 0.15 l, and --decimal point or --decimal comma: it may be thousands or a fraction`},
		{name: "a comma that the owner explains", file: "date,dose,hot_water_ml\n2026-03-02,18,\"1,250\"\n", options: with(func(o *Options) { o.Mark = figure.Point }), want: "2026-03-02 18g water 1250"},
		{name: "a comma that other rows explain", file: "date,dose,hot_water_ml\n2026-03-02,18,\"1,250\"\n2026-03-03,18.5,\n", want: "2026-03-02 18g water 1250|2026-03-03 18.5g"},
		{name: "a comma that nothing explains through a pipe", file: "date,dose,hot_water_ml\n2026-03-02,18,\"1,250\"\n", pipe: true, refused: "--decimal"},
		{name: "points and commas mixed, and one that is either", file: "date;dose;hot_water_ml\n2026-03-02;18,5;1.250\n2026-03-03;18.5;\n", refused: "--decimal"},
		{name: "points and commas mixed, none of them either", file: "date;dose\n2026-03-02;18,5\n2026-03-03;18.5\n", want: "2026-03-02 18.5g|2026-03-03 18.5g"},
		{name: "three decimals that can be nothing else", file: "date,dose,yield\n2026-03-02 07:40,18.000,36.000\n", want: plainRow},
		{name: "shots of three digits behind a point", file: "date,shots\n2026-03-02,1.250\n", refused: "--decimal"},
		{name: "thousands and decimals", file: "date;shots;hot_water_ml\n2026-03-02;2;1.234,5\n2026-03-03;2;\"1'250\"\n", want: "2026-03-02 ×2 water 1234.5|2026-03-03 ×2 water 1250"},
		{name: "a dose in words", file: "date,dose\n2026-03-02,eighteen\n", refused: "cannot be taken; give a number"},
		{name: "an ounce", file: "date,dose\n2026-03-02,0.6 oz\n", refused: "cannot be taken; give a number"},
		// Units, yes and no, ratios, lengths.
		{name: "hot water in a unit of the header", file: "date,hot water (ml)\n2026-03-02,150\n", want: "2026-03-02 water 150"},
		{name: "hot water in a unit of the cell", file: "date,hot_water\n2026-03-02,150 ml\n2026-03-03,0.15 l\n2026-03-04,15cl\n", want: "2026-03-02 water 150|2026-03-03 water 150|2026-03-04 water 150"},
		{name: "hot water of 150 litres at home", file: "date,hot_water_l\n2026-03-02,0.2\n2026-03-03,150\n2026-03-04,150\n",
			refused: "row 2 and 1 more: column 2, hot_water_l: 150 litres in one row are unusual at home; write the unit in the header or the cell, or pass --map 'hot_water_ml=hot_water_l' for millilitres; --as-written takes it as it stands"},
		{name: "hot water of 150 that its owner has told", file: "date,hot_water\n2026-03-02,150\n", options: with(func(o *Options) { o.Mapped = map[string]string{"hot_water_ml": "hot_water"} }), want: "2026-03-02 water 150"},
		{name: "hot water of 150 litres that its owner insists on", file: "date,hot_water\n2026-03-02,150\n", options: with(func(o *Options) { o.AsWritten = true }), want: "2026-03-02 water 150000"},
		{name: "hot water of less than a sip", file: "date,hot_water_ml\n2026-03-02,0.15\n", refused: "less than a sip"},
		{name: "hot water of 500", file: "date,hot_water\n2026-03-02,500\n", refused: `column 2, hot_water: "500" cannot be taken; give at most 200 litres; of millilitres write ml behind the figure, or pass --map 'hot_water_ml=hot_water'`},
		{name: "yes and no", file: "date,steamed\n2026-03-02,yes\n2026-03-03,no\n2026-03-04,TRUE\n2026-03-05,Nein\n2026-03-06,x\n2026-03-07,\n", want: "2026-03-02 milk 1|2026-03-03|2026-03-04 milk 1|2026-03-05|2026-03-06 milk 1|2026-03-07"},
		{name: "yes to several shots", file: "date,shots,steamed\n2026-03-02,2,yes\n", refused: "how many of the shots"},
		{name: "a ratio in its own column", file: "date,dose,ratio\n2026-03-02,18,1:2\n2026-03-03,18,1:2.5\n2026-03-04,18,2\n", want: "2026-03-02 18g >36g|2026-03-03 18g >45g|2026-03-04 18g >36g"},
		{name: "a ratio for a yield", file: "date,dose,yield\n2026-03-02,18,1:2\n2026-03-03,18,\"1 : 2,5\"\n", want: "2026-03-02 18g >36g|2026-03-03 18g >45g"},
		{name: "a ratio and a yield that agree", file: "date,dose,yield,ratio\n2026-03-02,18,38,1:2\n", want: "2026-03-02 18g >38g"},
		{name: "a ratio and a yield that do not", file: "date,dose,yield,ratio\n2026-03-02,18,54,1:2\n", refused: `"1:2" cannot be taken; give the ratio of 18 g of coffee and 54 g of drink`},
		{name: "a ratio that became a time", file: "date,dose,ratio\n2026-03-02,18,01:02:00\n", refused: "a brew ratio such as 1:2"},
		{name: "a ratio the other way round", file: "date,dose,ratio\n2026-03-02,18,2:1\n", refused: "a brew ratio such as 1:2"},
		{name: "seconds as a length", file: "date,seconds\n2026-03-02,0:28\n2026-03-03,0:00:28\n2026-03-04,28 sec\n2026-03-05,0.000324074\n", want: "2026-03-02 28s|2026-03-03 28s|2026-03-04 28s|2026-03-05 28s"},
		{name: "minutes for seconds", file: "date,seconds\n2026-03-02,0.28\n", refused: "0.28 seconds are unusual"},
		// What hardly can be meant.
		{name: "dose and yield swapped", file: "date,dose,yield\n2026-03-02,18,36\n2026-03-03,36,18\n", refused: "row 2: column 2, dose: 36 g of coffee and 18 g in the cup look swapped; --map 'dose_g=yield,yield_g=dose' swaps them; --as-written"},
		{name: "a ristretto", file: "date,dose,yield\n2026-03-02,18,18\n", want: "2026-03-02 18g >18g"},
		{name: "two shots in a row of dose 18", file: "date,shots,dose,yield\n2026-03-02,2,18,36\n", refused: "18 g in a row of 2 shots may be of each shot or of all together; --doses each or --doses together"},
		{name: "two shots in a row of dose 36", file: "date,shots,dose,yield\n2026-03-02,2,36,72\n", refused: "36 g in a row of 2 shots may be of each shot or of all together"},
		{name: "two shots of 18 each", file: "date,shots,dose,yield\n2026-03-02,2,18,36\n", options: with(func(o *Options) { o.Doses = EachShot }), want: "2026-03-02 ×2 18g >36g"},
		{name: "two shots of 36 together", file: "date,shots,dose,yield\n2026-03-02,2,36,72\n", options: with(func(o *Options) { o.Doses = AllTogether }), want: "2026-03-02 ×2 18g >36g"},
		{name: "the shots of a day, of which each took its dose", file: "date,shots,dose\n2026-03-02,9,18\n", want: "2026-03-02 ×9 18g"},
		{name: "twice in the same minute", file: "date\n2026-03-02 07:40\n2026-03-02 07:40\n", want: "2026-03-02 07:40|2026-03-02 07:40"},
		{name: "names in another language", file: "Datum,Anzahl\n2026-03-02,3\n", refused: "column 1: \"Datum\" cannot be taken; give one of date, time, shots, dose_g, yield_g, ratio, seconds, steamed, hot_water_l, hot_water_ml, grind, drink, beans, note; name it with --map, such as --map 'date=Datum'"},
		{name: "two marks in the header", file: "date;shots,dose\n2026-03-02;3,18\n", refused: "\"date;shots\" cannot be taken; give a header whose names are all parted by the same mark"},
		{name: "three times in the same minute", file: "date\n2026-03-02 07:40\n2026-03-02 07:40\n2026-03-02 07:40\n", refused: "row 3: column 1, date: 2026-03-02 07:40 stands here 3 times"},
		{name: "a file that is in itself twice", file: strings.Repeat("date,dose\n2026-03-02 07:40,18\n2026-03-03 07:40,18\n2026-03-04 07:41,18\n2026-03-05 07:40,18\n", 2), refused: "row 6: nearly every time of the file has two rows, 4 of 4"},
		{name: "a time behind the day and another", file: "date,time\n2026-03-02 09:00,07:40\n", refused: `column 2, time: "07:40" cannot be taken; give the time that stands behind the day, 09:00`},
		{name: "a spreadsheet's midnight behind the day, after the time", file: "time,date,dose,yield\n07:40:00,2026-03-02 00:00:00,18,36\n", want: plainRow},
		{name: "a spreadsheet's day 0 before the time", file: "date,time,dose,yield\n2026-03-02,1899-12-30 07:40:00,18,36\n", want: plainRow},
		{name: "serial numbers that may count from 1904", file: "date,dose,yield\n44621.3194444444,18,36\n", refused: "means 2022-03-01 in most spreadsheets, and 2026-03-02 in those that count from 1904; --dates serial-1900 or --dates serial-1904"},
		{name: "serial numbers that count from 1904", file: "date,dose,yield\n44621.3194444444,18,36\n", options: with(func(o *Options) { o.Order = Serial1904 }), want: plainRow, note: "0 for 1904-01-01"},
		{name: "a header over two lines", file: "date,\"dose\n(g)\",yield\u00a0(g)\n2026-03-02 07:40,18,36\n", want: plainRow},
		{name: "weekdays before figures", file: "date,dose,yield\nMonday 2026-03-02 07:40,18,36\n\"Mo., 2.3.2026 7:40\",18,36\n", want: plainRow + "|" + plainRow},
		{name: "weekdays before days and months", file: "date,dose\nTue 3/2/2026,18\nFri 13/2/2026,18\n", want: "2026-02-03 18g|2026-02-13 18g"},
		{name: "blanks that do not break", file: "date,dose,yield\n2.3.2026\u00a007:40,18,36\n2026-03-02\u202f07:40,18,36\n", options: with(func(o *Options) { o.AsWritten = true }), want: plainRow + "|" + plainRow},
		{name: "figures of other scripts", file: "date,dose,yield\n٢٠٢٦-٠٣-٠٢ ٠٧:٤٠,18,36\n２０２６／０３／０２　０７：４１,18,36\n", want: plainRow + "|2026-03-02 07:41 18g >36g"},
		{name: "years, months and days named behind", file: "date,dose,yield\n2026年3月2日 07:40,18,36\n2026년 3월 2일 07:41,18,36\n2026年3月3日,18,36\n", want: plainRow + "|2026-03-02 07:41 18g >36g|2026-03-03 18g >36g"},
		{name: "names of months with times of dots and an h", file: "date,dose,yield\n2 mars 2026 07.40,18,36\n2 mars 2026 7h41,18,36\n2. marts 2026 kl. 07.42,18,36\n2 Mar 2026,18,36\n", want: plainRow + "|2026-03-02 07:41 18g >36g|2026-03-02 07:42 18g >36g|2026-03-02 18g >36g"},
		{name: "a time in seconds beside dose and yield", file: "Date,Dose (g),Yield (g),Brew\n2026-03-02,18,36,28\n", refused: "such as --map 'seconds=Brew'"},
		{name: "a word that is no weekday", file: "date,dose\nWeek 10,18\n", refused: `"Week 10" cannot be taken; give a day`},
		{name: "a yield in ounces", file: "date,dose,yield\n2026-03-02,18,1.3\n", refused: "1.3 g in the cup are unusual"},
		{name: "a ratio that became a fraction of a day", file: "date,dose,ratio\n2026-03-02,18,0.0430555\n", refused: "a brew ratio such as 1:2"},
		{name: "a hundred shots at home", file: "date,shots\n2026-03-02,100\n", refused: "100 shots in one row are unusual at home"},
	}
}

// allOdd are all of them.
func allOdd() []oddLog { return slices.Concat(oddLogs(), oddFigures()) }

// oddOptions are those of a home with one group in Vienna.
func oddOptions(t testing.TB) Options {
	t.Helper()
	vienna, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		t.Fatal(err)
	}
	return Options{Zone: vienna, Today: record.NewDate(2026, time.April, 1), Machine: &record.Machine{Setting: record.Home, Groups: []record.Group{{ID: "group"}}}}
}

// Nothing of an odd log is read wrongly without a word: what is beyond doubt is
// taken, and all else is named with its row and what to do.
func TestOddLogs(t *testing.T) {
	for _, odd := range allOdd() {
		t.Run(odd.name, func(t *testing.T) {
			options := oddOptions(t)
			if odd.options != nil {
				odd.options(&options)
			}
			in := io.Reader(strings.NewReader(odd.file))
			if odd.pipe {
				in = io.MultiReader(in)
			}
			log, err := Open(in, options)
			var rows []string
			if err == nil {
				for row, wrong := range log.Rows(func(int64) {}) {
					if err = wrong; err != nil {
						break
					}
					if err = row.Validate(); err != nil { // as the desk does
						break
					}
					rows = append(rows, told(row))
				}
			}
			got := strings.Join(rows, "|")
			switch {
			case odd.refused != "":
				if err == nil || !strings.Contains(log.message(err), odd.refused) {
					t.Errorf("got %q, %v; want a message with %q", got, err, odd.refused)
				}
			case err != nil || got != odd.want:
				t.Errorf("got %q, %v; want %q", got, err, odd.want)
			default:
				if notes := strings.Join(log.Notes(), "; "); !strings.Contains(notes, odd.note) || odd.note == "" && strings.Contains(notes, "passed over") {
					t.Errorf("the notes are %q, want %q", notes, odd.note)
				}
			}
		})
	}
}

// message is an error as a person reads it.
func (f *Log) message(err error) string {
	if f != nil {
		err = f.Locate(err)
	}
	return err.Error()
}

// A question is asked once of all its rows, and does not stand in the way of
// looking at the file.
func TestQuestions(t *testing.T) {
	options := oddOptions(t)
	options.Preview = true
	log, err := Open(strings.NewReader("date,shots,dose,hot_water\n2026-03-02,2,18,150\n2026-03-03,2,36,150\n2026-03-04,1,18,\n"), options)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for _, err := range log.Rows(func(int64) {}) {
		if err != nil {
			t.Fatal(err)
		}
		n++
	}
	questions := log.Questions()
	if n != 3 || len(questions) != 3 {
		t.Fatalf("%d rows, %v", n, questions)
	}
	for i, want := range []Question{{Row: 1, Rows: 2}, {Row: 1, Rows: 2}, {Row: 2, Rows: 1}} {
		if q := questions[i]; q.Row != want.Row || q.Rows != want.Rows {
			t.Errorf("question %d is %+v, want %+v", i, q, want)
		}
	}
	options.Preview = false
	again, err := Open(strings.NewReader("date,hot_water\n2026-03-02,150\n"), options)
	if err != nil {
		t.Fatal(err)
	}
	var asked *QuestionsError
	for _, err := range again.Rows(func(int64) {}) {
		if errors.As(err, &asked) {
			break
		}
	}
	if asked == nil || len(asked.Questions) != 1 {
		t.Errorf("got %v", asked)
	}
}

// Whoever fills in a form is told of its fields, and of no flag of a command: in what is
// refused, what is asked and what is noted.
func TestFormsAreToldOfTheirFields(t *testing.T) {
	told := 0
	for _, odd := range allOdd() {
		if odd.pipe {
			continue // a file that was brought can be looked through
		}
		options := oddOptions(t)
		if odd.options != nil {
			odd.options(&options)
		}
		options.Ways = ByForm{}
		log, err := Open(strings.NewReader(odd.file), options)
		if err == nil {
			for _, wrong := range log.Rows(func(int64) {}) {
				err = wrong
			}
			for _, note := range log.Notes() {
				if strings.Contains(note, "--") {
					t.Errorf("%s: the note %q", odd.name, note)
				}
			}
		}
		if err == nil {
			continue
		}
		says := log.message(err)
		if strings.Contains(says, " --") || strings.Contains(says, "(--") || strings.HasPrefix(says, "--") {
			t.Errorf("%s: it says %q", odd.name, says)
		}
		if strings.Contains(says, "below") {
			told++
		}
	}
	if told < 8 {
		t.Errorf("only %d messages say what to fill in", told)
	}
}
