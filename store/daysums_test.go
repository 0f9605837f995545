package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"limekeep/schedule/record"
)

// The figures are quarters, so that their sums are exact in any order.
func quarters(most int) *rapid.Generator[float64] {
	return rapid.Map(rapid.IntRange(0, 4*most), func(n int) float64 { return float64(n) / 4 })
}

var someRow = rapid.Custom(func(t *rapid.T) record.UseRow {
	shots := rapid.IntRange(0, 40).Draw(t, "quarter shots")
	return record.UseRow{
		Date:           day(rapid.IntRange(1, 4).Draw(t, "day")),
		Minute:         rapid.SampledFrom([]int{-1, 0, 29, 30, 1439}).Draw(t, "minute"),
		Ordinal:        rapid.IntRange(0, 2).Draw(t, "ordinal"),
		Shots:          float64(shots) / 4,
		DoseGrams:      quarters(20).Draw(t, "dose"),
		YieldGrams:     quarters(40).Draw(t, "yield"),
		Steamed:        float64(rapid.IntRange(0, shots).Draw(t, "quarter steamed")) / 4,
		HotWaterLitres: quarters(3).Draw(t, "hot water"),
	}
})

// The days of a book are the plain sums of all rows that came first and were
// not voided, and a rebuild changes nothing.
func TestDaysAreSumsOfRows(t *testing.T) { onEach(t, testDaysAreSumsOfRows) }

func testDaysAreSumsOfRows(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	places := 0
	rapid.Check(t, func(t *rapid.T) {
		places++
		place := fmt.Sprintf("place-%d", places)
		type keptBatch struct {
			id      int64
			machine string
			rows    []record.UseRow
		}
		var kept []keptBatch
		key := func(r record.UseRow) [3]int { return [3]int{int(r.Date), r.Minute, r.Ordinal} }
		for range rapid.IntRange(1, 4).Draw(t, "batches") {
			if len(kept) > 0 && rapid.IntRange(0, 2).Draw(t, "void") == 0 {
				i := rapid.IntRange(0, len(kept)-1).Draw(t, "which")
				e := entry(0, record.Void{Record: kept[i].id})
				e.Place = place
				if _, err := db.Append(ctx, e); err != nil {
					t.Fatal(err)
				}
				kept = slices.Delete(kept, i, i+1)
				continue
			}
			machine := rapid.SampledFrom([]string{"a", "b"}).Draw(t, "machine")
			rows := rapid.SliceOfNDistinct(someRow, 1, 30, key).Draw(t, "rows")
			known := map[[3]int]bool{}
			for _, k := range kept {
				for _, r := range k.rows {
					if k.machine == machine {
						known[key(r)] = true
					}
				}
			}
			fresh := slices.DeleteFunc(slices.Clone(rows), func(r record.UseRow) bool { return known[key(r)] })
			e := entry(0, record.UseBatch{Machine: machine})
			e.Place = place
			result, err := db.AppendUse(ctx, e, rowsOf(rows...))
			if err != nil {
				t.Fatal(err)
			}
			if result.Added != len(fresh) || result.Known != len(rows)-len(fresh) || (result.ID == 0) != (len(fresh) == 0) {
				t.Fatalf("%d rows, %d of them new: %+v", len(rows), len(fresh), result)
			}
			if len(fresh) > 0 {
				kept = append(kept, keptBatch{result.ID, machine, fresh})
			}
		}

		until := day(rapid.IntRange(0, 5).Draw(t, "until"))
		var want []record.UseDay
		for _, machine := range []string{"a", "b"} {
			for date := day(1); date <= until; date++ {
				for _, k := range kept {
					sum, found := record.UseDay{Machine: machine, Date: date, Record: k.id}, false
					for _, r := range k.rows {
						if k.machine != machine || r.Date != date {
							continue
						}
						found = true
						sum.Shots += r.Shots
						if r.DoseGrams > 0 {
							sum.DosedShots += r.Shots
							sum.DoseGrams += r.Shots * r.DoseGrams
						}
						if r.YieldGrams > 0 {
							sum.YieldShots += r.Shots
							sum.YieldGrams += r.Shots * r.YieldGrams
						}
						sum.Steamed += r.Steamed
						sum.HotWaterLitres += r.HotWaterLitres
						if r.Minute >= 0 {
							sum.HalfHours |= 1 << (r.Minute / 30)
						}
					}
					if found {
						want = append(want, sum)
					}
				}
			}
		}
		book, err := db.Read(ctx, place, until)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, book.Days, cmpEmpty); diff != "" {
			t.Fatalf("days until %v, -want +got:\n%s", until, diff)
		}
	})
	if err := db.Check(ctx); err != nil {
		t.Error(err)
	}
}

// cmpEmpty takes no days for an empty list of days.
var cmpEmpty = cmp.Transformer("empty", func(days []record.UseDay) map[string]record.UseDay {
	named := map[string]record.UseDay{}
	for i, d := range days {
		named[fmt.Sprintf("%03d", i)] = d
	}
	return named
})

func allSums(t *testing.T, db *DB) []string {
	t.Helper()
	var sums []string
	err := db.inRead(context.Background(), func(tx *sql.Tx) error {
		return each(context.Background(), tx, func(rows *sql.Rows) error {
			var place, machine string
			var date, id int64
			var f [7]float64
			var halfHours int64
			err := rows.Scan(&place, &machine, &date, &id, &f[0], &f[1], &f[2], &f[3], &f[4], &f[5], &f[6], &halfHours)
			sums = append(sums, fmt.Sprintf("%s %s %d %d %x %b", place, machine, date, id, f, halfHours))
			return err
		}, "SELECT "+sumColumns+" FROM drawn_day ORDER BY place, machine, day, record_id")
	})
	if err != nil {
		t.Fatal(err)
	}
	return sums
}

// Rebuilding returns what appending kept, to the last bit, voided batches and
// sums that were lost or falsified included.
func TestRebuildSums(t *testing.T) { onEach(t, testRebuildSums) }

func testRebuildSums(t *testing.T, open opener) {
	db := open(t)
	ctx := context.Background()
	var shuffled []record.UseRow
	for r := range manyShots(900) {
		shuffled = append(shuffled, r)
	}
	for i := range shuffled {
		j := i * 7919 % len(shuffled)
		shuffled[i], shuffled[j] = shuffled[j], shuffled[i]
	}
	mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shuffled[:500]...)
	voided := mustAppendUse(t, db, record.UseBatch{Machine: "machine"}, shuffled...)
	mustAppend(t, db, entry(0, record.Void{Record: voided.ID}))
	mustAppendUse(t, db, record.UseBatch{Machine: "other"}, shuffled...)
	kept := allSums(t, db)
	if len(kept) < 9 {
		t.Fatalf("only %d sums", len(kept))
	}
	for _, harm := range []string{
		"SELECT 1",
		"DELETE FROM drawn_day WHERE machine = 'other'",
		"UPDATE drawn_day SET shots = shots + 1 WHERE record_id = 1",
		"UPDATE drawn_day SET half_hours = 0",
		"INSERT INTO drawn_day (" + sumColumns + ") SELECT 'bar', machine, day, record_id, 1, 1, 1, 1, 1, 1, 1, 1 FROM drawn_day",
	} {
		if _, err := db.write.ExecContext(ctx, harm); err != nil {
			t.Fatal(err)
		}
		if err := db.Check(ctx); (err == nil) != (harm == "SELECT 1") {
			t.Errorf("check after %s: %v", harm, err)
		}
		if err := db.RebuildSums(ctx); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(kept, allSums(t, db)); diff != "" {
			t.Errorf("after %s, -kept +rebuilt:\n%s", harm, diff)
		}
		if err := db.Check(ctx); err != nil {
			t.Errorf("check after %s and a rebuild: %v", harm, err)
		}
	}
}

// Reading must not look at more than the place's own records and days: the
// planner of SQLite is asked how it would go about it.
func TestReadingUsesIndexes(t *testing.T) {
	db := openTest(t)
	var plan []string
	err := db.inRead(context.Background(), func(tx *sql.Tx) error {
		for _, q := range []struct {
			query string
			args  []any
		}{
			{selectEntries + "WHERE r.place = ? AND r.effective <= ? AND v.id IS NULL ORDER BY r.effective, r.id", []any{"home", "2026-05-01"}},
			{selectEntries + "WHERE r.id = ?", []any{1}},
			{selectEntries + sinceOfPlace, []any{"home", 1}},
			{selectEntries + publicationsOfPlace, []any{"home", "2026-05-01"}},
			{selectDays + daysOfPlace, []any{"home", 1}},
			{selectDays + daysOfBatch, []any{1}},
			{selectKnown, []any{"home", "machine", 1}},
			{sumsOfBatch(sqliteFile{}), []any{1, "home", "machine"}},
		} {
			err := each(context.Background(), tx, func(rows *sql.Rows) error {
				var id, parent, unused int
				var detail string
				err := rows.Scan(&id, &parent, &unused, &detail)
				plan = append(plan, detail)
				return err
			}, "EXPLAIN QUERY PLAN "+q.query, q.args...)
			if err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, step := range plan {
		// Of the half hours of a day there are 48 at most.
		if strings.Contains(step, "SCAN") || strings.Contains(step, "TEMP B-TREE") && !strings.HasSuffix(step, "FOR sum(DISTINCT)") {
			t.Errorf("slow step %q in:\n%s", step, strings.Join(plan, "\n"))
		}
	}
	if len(plan) < 10 {
		t.Errorf("only %d steps:\n%s", len(plan), strings.Join(plan, "\n"))
	}
}
