package store

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"limekeep/schedule/record"
)

// However many processes add and work at the places of a night, each is worked at once;
// one that fails is tried again, and what became of all is told. It is not among the tests
// that run under the race detector: as .ci/race leaves out what SQLite is translated to, the
// detector does not see how the standard library guards its cache of types, which the jobs'
// library reaches from many sides (without that exception it finds nothing).
func TestJobsOfManyProcesses(t *testing.T) {
	address := emptyServerOrSkip(t)
	ctx := context.Background()
	night := record.NewDate(2026, 5, 1)
	var places []string
	for i := range 40 {
		places = append(places, fmt.Sprintf("place-%02d", i))
	}
	var mu sync.Mutex
	worked, failed := map[string]int{}, false
	ended := make(chan struct{}, 2*len(places))
	work := func(_ context.Context, place string) error {
		mu.Lock()
		defer mu.Unlock()
		if place == places[7] && !failed {
			failed = true
			return errors.New("the first time it fails")
		}
		worked[place]++
		ended <- struct{}{}
		return nil
	}
	var all []*Jobs
	var wait sync.WaitGroup
	for range 3 {
		db := openAt(t, address)
		wait.Go(func() {
			jobs, err := db.Jobs(ctx, work, 2)
			if err != nil {
				t.Error(err)
				return
			}
			if _, err := jobs.Add(ctx, places, night); err != nil {
				t.Error(err)
			}
			mu.Lock()
			all = append(all, jobs)
			mu.Unlock()
		})
	}
	wait.Wait()
	if t.Failed() {
		t.FailNow()
	}
	if nights, err := all[0].Nights(ctx, 5); err != nil || len(nights) != 1 || nights[0].Waiting != len(places) || nights[0].Left() != len(places) {
		t.Errorf("before anybody works: %+v, %v", nights, err)
	}
	for _, jobs := range all {
		if err := jobs.Start(ctx); err != nil {
			t.Fatal(err)
		}
	}
	for range places {
		<-ended
	}
	for _, jobs := range all {
		if err := jobs.Close(ctx); err != nil {
			t.Error(err)
		}
	}
	for _, place := range places {
		if worked[place] != 1 {
			t.Errorf("%s was worked at %d times", place, worked[place])
		}
	}
	again, err := openAt(t, address).Jobs(ctx, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer again.pool.Close()
	if added, err := again.Add(ctx, places, night); added != 0 || err != nil {
		t.Errorf("%d of the same night were added again, %v", added, err)
	}
	nights, err := again.Nights(ctx, 5)
	if err != nil || len(nights) != 1 || nights[0].Done != len(places) || nights[0].Left() != 0 || nights[0].Night != night {
		t.Errorf("afterwards: %+v, %v", nights, err)
	}
	if _, err := openTest(t).Jobs(ctx, nil, 0); !errors.Is(err, errors.ErrUnsupported) {
		t.Errorf("of a file: %v", err)
	}
}

// workingEnv asks the test program to be the process that is killed at work.
const workingEnv = "LIMEKEEP_STORE_WORKING"

func workUntilKilled(address string) {
	ctx := context.Background()
	db, err := Open(ctx, address, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	jobs, err := db.Jobs(ctx, func(context.Context, string) error {
		fmt.Println("at work")
		select {} // until it is killed
	}, 1)
	if err == nil {
		err = jobs.Start(ctx)
	}
	if err != nil {
		fmt.Println(err)
		return
	}
	select {}
}

// What a process was working at when it was killed is worked at by another, once it is
// plain that nobody does: that takes half a minute here, and two and a half by the usual
// times.
func TestKilledJobIsResumed(t *testing.T) {
	if os.Getenv("LIMEKEEP_SOAK") == "" {
		t.Skip("it waits for half a minute; make soak has it")
	}
	address := emptyServerOrSkip(t)
	ctx := context.Background()
	db := openAt(t, address)
	resumed := make(chan string, 1)
	jobs, err := db.jobs(ctx, func(_ context.Context, place string) error {
		resumed <- place
		return nil
	}, 1, jobTimes{lasts: 500 * time.Millisecond, rescued: time.Second})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := jobs.Add(ctx, []string{"home"}, day(1)); err != nil {
		t.Fatal(err)
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	worker := exec.Command(program)
	worker.Env = append(os.Environ(), workingEnv+"="+address)
	out, err := worker.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := worker.Start(); err != nil {
		t.Fatal(err)
	}
	said := make([]byte, len("at work"))
	if _, err := io.ReadFull(out, said); err != nil || string(said) != "at work" {
		t.Fatalf("it says %q, %v", said, err)
	}
	if err := worker.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = worker.Wait()
	if err := jobs.Start(ctx); err != nil {
		t.Fatal(err)
	}
	began := time.Now()
	if place := <-resumed; place != "home" {
		t.Errorf("%s is resumed, want home", place)
	}
	t.Logf("resumed after %v", time.Since(began).Round(time.Second))
	if err := jobs.Close(ctx); err != nil {
		t.Error(err)
	}
	again, err := db.Jobs(ctx, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer again.pool.Close()
	if nights, err := again.Nights(ctx, 1); err != nil || len(nights) != 1 || nights[0].Done != 1 || nights[0].Left() != 0 {
		t.Errorf("%+v, %v", nights, err)
	}
}
