package main

import (
	"context"
	"fmt"
	"time"

	"github.com/robfig/cron/v3"

	"limekeep/schedule/record"
)

// startKeeping looks after the file while a server runs: it looks it over at the start,
// brings what was written into the one file when it is quiet, and makes backups at
// their times. The function it returns ends that.
func (s *serving) startKeeping(ctx context.Context) (stop func(), err error) {
	at := s.app.settings.GetString("backup-at")
	b := backups{target: s.app.settings.GetString("backup-folder"), command: s.app.settings.GetString("backup-to"), keep: s.app.settings.GetInt("backup-keep"), now: time.Now}
	jobs := cron.New(cron.WithLocation(s.zone), cron.WithChain(cron.SkipIfStillRunning(cron.DiscardLogger)))
	if at != "" {
		if (b.target == "") == (b.command == "") {
			return nil, &record.FieldError{Field: "--backup-at", Value: at, Want: "it together with one of --backup-folder and --backup-to"}
		}
		if b.keep < 1 {
			return nil, &record.FieldError{Field: "--backup-keep", Value: fmt.Sprint(b.keep), Want: "1 or more"}
		}
		if _, err := jobs.AddFunc(at, func() { s.backUp(ctx, b) }); err != nil {
			return nil, &record.FieldError{Field: "--backup-at", Value: at, Want: `five cron fields, minute hour day month weekday, such as "30 3 * * *"`}
		}
	}
	if err := s.db.CheckQuick(ctx); err != nil { // it goes on: what can be read can be read
		s.log.ErrorContext(ctx, "the records are not sound", "error", err)
	}
	jobs.Start()
	folding, end := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		s.fold(folding)
	}()
	return func() {
		jobs.Stop()
		end()
		<-done
	}, nil
}

func (s *serving) backUp(ctx context.Context, b backups) {
	said, err := b.make(ctx, s.db)
	if err != nil {
		s.log.ErrorContext(ctx, "no backup was made", "error", err)
		return
	}
	s.log.InfoContext(ctx, "a backup was made", "what", said)
}

// quiet is how long nothing is written before the log is brought into the file
// (assumption).
const quiet = time.Second

// fold brings the log into the file whenever it is quiet.
func (s *serving) fold(ctx context.Context) {
	ticker := time.NewTicker(quiet / 4)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case now := <-ticker.C:
			if last, ok := s.db.Unfolded(); ok && now.Sub(last) > quiet {
				if err := s.db.Fold(ctx); err != nil && ctx.Err() == nil {
					s.log.WarnContext(ctx, "the log could not be brought into the file", "error", err)
				}
			}
		}
	}
}
