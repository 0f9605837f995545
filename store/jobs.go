package store

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivermigrate"

	"limekeep/schedule/record"
)

// Jobs are the places whose plan is to be made anew in a night, kept in the database of
// the records on a server: each place once however many processes work at them, tried
// again where it failed, and by another process where one was killed.
type Jobs struct {
	db     *DB
	pool   *pgxpool.Pool
	client *river.Client[pgx.Tx]
}

// Times of jobs. Assumptions.
const (
	// jobTries is how often a place is tried in a night: after 1, 16, 81 and 256 seconds.
	jobTries = 5
	// jobsKept is how long it is told what became of them.
	jobsKept = 7 * 24 * time.Hour
	// jobsAtOnce is how many are written down with one statement.
	jobsAtOnce = 1000
)

// replan is a job: a place and a night.
type replan struct {
	Place string `json:"place"`
	Night string `json:"night"`
}

// Kind names the job in the database.
func (replan) Kind() string { return "replan" }

// jobTimes are how long a place may take, and after how long one whose process is gone is
// another's: it is looked for twice a minute.
type jobTimes struct{ lasts, rescued time.Duration }

// usualTimes are assumptions.
var usualTimes = jobTimes{lasts: 2 * time.Minute, rescued: 150 * time.Second}

type replanner struct {
	river.WorkerDefaults[replan]
	work func(ctx context.Context, place string) error
}

// Work makes one place's plan anew.
func (r *replanner) Work(ctx context.Context, job *river.Job[replan]) error {
	return r.work(ctx, job.Args.Place)
}

// Jobs opens the jobs. Where work is not nil, so many are worked at a time by this process
// from Start on. Records in a file have none: an error that matches errors.ErrUnsupported.
func (db *DB) Jobs(ctx context.Context, work func(ctx context.Context, place string) error, atOnce int) (*Jobs, error) {
	return db.jobs(ctx, work, atOnce, usualTimes)
}

func (db *DB) jobs(ctx context.Context, work func(context.Context, string) error, atOnce int, times jobTimes) (*Jobs, error) {
	server, ok := db.engine.(postgres)
	if !ok {
		return nil, fmt.Errorf("the records in %s are in a file, which one process replans by itself: %w", db.path, errors.ErrUnsupported)
	}
	j, err := server.jobs(ctx, db, work, atOnce, times)
	if err != nil {
		return nil, fmt.Errorf("the jobs of the night: %w", db.inWords(err))
	}
	return j, nil
}

func (p postgres) jobs(ctx context.Context, db *DB, work func(context.Context, string) error, atOnce int, times jobTimes) (*Jobs, error) {
	config, err := pgxpool.ParseConfig(p.config.ConnString())
	if err != nil {
		return nil, err
	}
	config.MaxConns = int32(serverShared + min(atOnce, 1000))
	config.ConnConfig.RuntimeParams["application_name"] = "limekeep"
	config.ConnConfig.RuntimeParams["search_path"] = serverSchema
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, err
	}
	j := &Jobs{db: db, pool: pool}
	if err := j.open(ctx, work, atOnce, times); err != nil {
		pool.Close()
		return nil, err
	}
	return j, nil
}

func (j *Jobs) open(ctx context.Context, work func(context.Context, string) error, atOnce int, times jobTimes) error {
	driver, silent := riverpgxv5.New(j.pool), slog.New(slog.DiscardHandler)
	release, err := j.db.Alone(ctx, "schema of jobs")
	if err != nil {
		return err
	}
	defer release()
	migrator, err := rivermigrate.New(driver, &rivermigrate.Config{Schema: serverSchema, Logger: silent})
	if err != nil {
		return err
	}
	if _, err := migrator.Migrate(ctx, rivermigrate.DirectionUp, nil); err != nil {
		return err
	}
	settings := &river.Config{Schema: serverSchema, Logger: silent, MaxAttempts: jobTries, JobTimeout: times.lasts, RescueStuckJobsAfter: times.rescued, CompletedJobRetentionPeriod: jobsKept}
	if work != nil {
		settings.Workers = river.NewWorkers()
		if err := river.AddWorkerSafely(settings.Workers, &replanner{work: work}); err != nil {
			return err
		}
		settings.Queues = map[string]river.QueueConfig{river.QueueDefault: {MaxWorkers: max(1, atOnce)}}
	}
	j.client, err = river.NewClient(driver, settings)
	return err
}

// Start begins to work at jobs, until Close.
func (j *Jobs) Start(ctx context.Context) error { return j.client.Start(ctx) }

// Close ends the work, once what is being worked at is done or the context ends, and the
// connections.
func (j *Jobs) Close(ctx context.Context) error {
	err := j.client.Stop(ctx)
	j.pool.Close()
	return err
}

// Add has the plans of places made anew in a night, but for those that already are, or
// are to be. It returns how many were added.
func (j *Jobs) Add(ctx context.Context, places []string, night record.Date) (int, error) {
	added := 0
	for len(places) > 0 {
		n := min(len(places), jobsAtOnce)
		var batch []river.InsertManyParams
		for _, place := range places[:n] {
			batch = append(batch, river.InsertManyParams{Args: replan{place, night.String()}, InsertOpts: &river.InsertOpts{UniqueOpts: river.UniqueOpts{ByArgs: true}}})
		}
		places = places[n:]
		results, err := j.client.InsertMany(ctx, batch)
		if err != nil {
			return added, j.db.inWords(err)
		}
		for _, r := range results {
			if !r.UniqueSkippedAsDuplicate {
				added++
			}
		}
	}
	return added, nil
}

// NightJobs tells what became of the jobs of a night.
type NightJobs struct {
	Night   record.Date   `json:"night"`
	Waiting int           `json:"waiting"`
	Running int           `json:"running"`
	Failed  int           `json:"failed"`   // and will be tried again
	GivenUp int           `json:"given_up"` // after so many tries
	Done    int           `json:"done"`
	Took    time.Duration `json:"took"` // from the first that was added to the last that ended
	Faults  []JobFault    `json:"faults,omitempty"`
}

// Left is how many are still to end.
func (n NightJobs) Left() int { return n.Waiting + n.Running + n.Failed }

// JobFault says of which place the plan could not be made, and why.
type JobFault struct {
	Place string `json:"place"`
	Tries int    `json:"tries"`
	Why   string `json:"why"`
}

// mostFaults is how many are told of a night.
const mostFaults = 20

// Nights returns what became of the jobs of the last nights, the latest first.
func (j *Jobs) Nights(ctx context.Context, most int) ([]NightJobs, error) {
	rows, err := j.pool.Query(ctx, `SELECT args ->> 'night',
			count(*) FILTER (WHERE state IN ('available', 'pending', 'scheduled')), count(*) FILTER (WHERE state = 'running'),
			count(*) FILTER (WHERE state = 'retryable'), count(*) FILTER (WHERE state IN ('discarded', 'cancelled')), count(*) FILTER (WHERE state = 'completed'),
			coalesce(extract(epoch FROM max(coalesce(finalized_at, now())) - min(created_at)), 0)::float8
		FROM river_job WHERE kind = 'replan' GROUP BY 1 ORDER BY 1 DESC LIMIT $1`, most)
	if err != nil {
		return nil, j.db.inWords(err)
	}
	nights, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (NightJobs, error) {
		var n NightJobs
		var night string
		var seconds float64
		err := row.Scan(&night, &n.Waiting, &n.Running, &n.Failed, &n.GivenUp, &n.Done, &seconds)
		if err == nil {
			n.Night, err = record.ParseDate(night)
		}
		n.Took = time.Duration(seconds * float64(time.Second))
		return n, err
	})
	if err != nil {
		return nil, j.db.inWords(err)
	}
	for i := range nights {
		if nights[i].Failed+nights[i].GivenUp == 0 {
			continue
		}
		rows, err := j.pool.Query(ctx, `SELECT args ->> 'place', attempt, coalesce(errors[cardinality(errors)] ->> 'error', '')
			FROM river_job WHERE kind = 'replan' AND args ->> 'night' = $1 AND state IN ('retryable', 'discarded', 'cancelled') ORDER BY 1 LIMIT `+strconv.Itoa(mostFaults), nights[i].Night.String())
		if err != nil {
			return nil, j.db.inWords(err)
		}
		nights[i].Faults, err = pgx.CollectRows(rows, func(row pgx.CollectableRow) (JobFault, error) {
			var f JobFault
			err := row.Scan(&f.Place, &f.Tries, &f.Why)
			return f, err
		})
		if err != nil {
			return nil, j.db.inWords(err)
		}
	}
	return nights, nil
}
