package store_test

import (
	"context"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"time"

	"limekeep/schedule/record"
	"limekeep/store"
)

// A service written down by mistake is voided: the book of the day no longer
// has it, the history keeps both.
func Example() {
	ctx := context.Background()
	folder, err := os.MkdirTemp("", "records")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(folder)
	db, err := store.Open(ctx, filepath.Join(folder, "records.db"), nil)
	if err != nil {
		log.Fatal(err)
	}
	defer db.Close()

	on := record.NewDate(2026, time.March, 31)
	now := time.Date(2026, time.April, 1, 8, 0, 0, 0, time.UTC)
	done := record.Entry{Place: "home", Effective: on, Entered: now, Source: "command", Body: record.Service{Task: "machine/backflush"}}
	ids, err := db.Append(ctx, done)
	if err != nil {
		log.Fatal(err)
	}
	mistake := record.Entry{Place: "home", Entered: now, Source: "command", Body: record.Void{Record: ids[0], Why: "the other machine"}}
	if _, err := db.Append(ctx, mistake); err != nil {
		log.Fatal(err)
	}

	book, err := db.Read(ctx, "home", on)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("services in the book:", len(book.Services("machine/backflush")))
	err = db.History(ctx, "home", 0, func(e record.Entry) error {
		fmt.Println(e.ID, e.Effective, e.Kind(), "voided by", e.Voided)
		return nil
	})
	if err != nil {
		log.Fatal(err)
	}
	// Output:
	// services in the book: 0
	// 1 2026-03-31 service voided by 2
	// 2 2026-03-31 void voided by 0
}
