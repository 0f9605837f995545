package store

import (
	"context"
	"testing"

	"limekeep/schedule/record"
)

// importShots brings a log of n shots into a file.
func importShots(b *testing.B, db *DB, n int) {
	b.Helper()
	result, err := db.AppendUse(context.Background(), entry(0, record.UseBatch{Machine: "machine"}), func(yield func(record.UseRow, error) bool) {
		for r := range manyShots(n) {
			if !yield(r, nil) {
				return
			}
		}
	})
	if err != nil {
		b.Fatal(err)
	}
	if result.Added+result.Known != n {
		b.Fatalf("%+v of %d", result, n)
	}
}

// BenchmarkImport is the import of 200,000 shots, from the first row to the
// commit on the disk: rows that are new, and rows that are all known.
func BenchmarkImport(b *testing.B) {
	const rows = 200_000
	b.Run("new", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			b.StopTimer()
			db := openTest(b)
			b.StartTimer()
			importShots(b, db, rows)
		}
		b.ReportMetric(float64(rows)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
	})
	b.Run("known", func(b *testing.B) {
		db := openTest(b)
		importShots(b, db, rows)
		for b.Loop() {
			importShots(b, db, rows)
		}
		b.ReportMetric(float64(rows)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
	})
}

// BenchmarkRead is the book of a place with a million shots in its log.
func BenchmarkRead(b *testing.B) {
	db := openTest(b)
	importShots(b, db, 1_000_000)
	for _, body := range someBodies() {
		mustAppend(b, db, entry(day(1), body))
	}
	for b.Loop() {
		book, err := db.Read(context.Background(), "home", lastDate)
		if err != nil {
			b.Fatal(err)
		}
		if len(book.Days) == 0 {
			b.Fatal("no days")
		}
	}
}

// BenchmarkRebuild works the daily sums of a million shots out again.
func BenchmarkRebuild(b *testing.B) {
	db := openTest(b)
	importShots(b, db, 1_000_000)
	for b.Loop() {
		if err := db.RebuildSums(context.Background()); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkAppend is one record written through to the disk.
func BenchmarkAppend(b *testing.B) {
	db := openTest(b)
	for b.Loop() {
		mustAppend(b, db, entry(day(1), record.Retired{Equipment: "grinder"}))
	}
}
