package main

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"limekeep/schedule/day"
)

// loadKind is one kind of request of a mixed load, with how long its answers took.
type loadKind struct {
	name string
	ask  func(*http.Client, int) (*http.Response, error)
	want []int

	mu    sync.Mutex
	took  []time.Duration
	wrong map[string]int
}

func (k *loadKind) once(client *http.Client, n int) {
	began := time.Now()
	answer, err := k.ask(client, n)
	text := ""
	if err == nil {
		_, err = io.Copy(io.Discard, answer.Body)
		_ = answer.Body.Close()
		if !slices.Contains(k.want, answer.StatusCode) {
			text = fmt.Sprint("status ", answer.StatusCode)
		}
	}
	if err != nil {
		text = err.Error()
	}
	took := time.Since(began)
	k.mu.Lock()
	defer k.mu.Unlock()
	k.took = append(k.took, took)
	if text != "" {
		if k.wrong == nil {
			k.wrong = map[string]int{}
		}
		k.wrong[text]++
	}
}

// percentile returns a percentile of what was measured.
func percentile(all []time.Duration, share float64) time.Duration {
	if len(all) == 0 {
		return 0
	}
	sorted := slices.Sorted(slices.Values(all))
	return sorted[min(len(sorted)-1, int(share*float64(len(sorted))))]
}

// Pages, the feed, task apps and writes at once, with slow and broken clients among
// them: everybody is answered as intended, and what was written is in the feed. The
// long form (LIMEKEEP_SOAK) goes on for ten minutes, or LIMEKEEP_LOAD, with 50 clients
// and prints what was measured.
func TestMixedLoad(t *testing.T) {
	clients, lasts, worlds, pause := 12, 3*time.Second, "20", 40*time.Millisecond
	long := os.Getenv("LIMEKEEP_SOAK") != ""
	if long {
		clients, lasts, worlds, pause = 50, 10*time.Minute, fmt.Sprint(day.DefaultWorlds), 100*time.Millisecond
		if d, err := time.ParseDuration(os.Getenv("LIMEKEEP_LOAD")); err == nil {
			lasts = d
		}
	}
	s := serveKitchen(t, "--worlds", worlds)
	feed := s.feed()
	get := func(path string) func(*http.Client, int) (*http.Response, error) {
		return func(c *http.Client, _ int) (*http.Response, error) { return c.Get(s.pages + path) }
	}
	kinds := []*loadKind{
		{name: "GET /", ask: get(""), want: []int{200}},
		{name: "GET /plan", ask: get("plan"), want: []int{200}},
		{name: "GET task", ask: get("tasks/machine/descale/steam"), want: []int{200}},
		{name: "GET history", ask: get("history"), want: []int{200}},
		{name: "feed", ask: func(c *http.Client, _ int) (*http.Response, error) { return c.Get(feed) }, want: []int{200}},
		{name: "PROPFIND", ask: func(c *http.Client, _ int) (*http.Response, error) {
			r, err := http.NewRequest("PROPFIND", s.pages+"dav/"+servedUser+"/todos/"+servedUser+"/", strings.NewReader(`<propfind xmlns="DAV:"><prop><getetag/></prop></propfind>`))
			if err != nil {
				return nil, err
			}
			r.SetBasicAuth(servedUser, s.password)
			r.Header.Set("Depth", "1")
			r.Header.Set("Content-Type", "application/xml")
			return c.Do(r)
		}, want: []int{207}},
		{name: "broken", ask: func(c *http.Client, _ int) (*http.Response, error) {
			return c.Post(s.pages+"water", "text/plain", strings.NewReader("no form"))
		}, want: []int{415}},
	}
	today := time.Now().UTC().Add(-24 * time.Hour).Format(time.DateOnly) // which is no day to come in any zone
	write := &loadKind{name: "POST use", want: []int{303}, ask: func(c *http.Client, n int) (*http.Response, error) {
		return c.PostForm(s.pages+"use/shots", url.Values{"shots-shots": {strconv.Itoa(1 + n%3)}, "shots-date": {today}, "ticket": {fmt.Sprint("load-", n)}})
	}}
	end := time.Now().Add(lasts)
	var wait sync.WaitGroup
	for i := range clients {
		wait.Go(func() {
			client := plainClient()
			for n := 0; time.Now().Before(end); n++ {
				kinds[(i+n)%len(kinds)].once(client, n)
				time.Sleep(pause)
			}
		})
	}
	wait.Go(func() { // two a second
		client := plainClient()
		for n := 0; time.Now().Before(end); n++ {
			write.once(client, n)
			time.Sleep(500 * time.Millisecond)
		}
	})
	wait.Go(func() { s.slowClients(end) })
	var ages []time.Duration
	wait.Go(func() { ages = s.feedAges(feed, end) })
	var held []int64 // second by second
	if long {
		wait.Go(func() {
			for time.Now().Before(end) {
				held = append(held, s.resident())
				time.Sleep(time.Second)
			}
		})
	}
	wait.Wait()
	for _, k := range append(kinds, write) {
		if len(k.took) == 0 {
			t.Errorf("%s was never asked", k.name)
		}
		for what, n := range k.wrong {
			t.Errorf("%s: %d times %s", k.name, n, what)
		}
		if long {
			t.Logf("%-12s %6d asked, p50 %v, p99 %v, longest %v", k.name, len(k.took), percentile(k.took, 0.5), percentile(k.took, 0.99), percentile(k.took, 1))
		}
	}
	if long {
		third := len(held) / 3
		if third == 0 {
			t.Fatal("a load of three seconds at least is measured")
		}
		t.Logf("most memory: %d MB; by thirds of the time %d, %d and %d MB", slices.Max(held)>>20, slices.Max(held[:third])>>20, slices.Max(held[third:2*third])>>20, slices.Max(held[2*third:])>>20)
		t.Logf("age of the feed, %d times: p50 %v, p99 %v, longest %v", len(ages), percentile(ages, 0.5), percentile(ages, 0.99), percentile(ages, 1))
	}
	s.shows(feed)
}

// feedAges writes a service down and takes it back, over and over, and returns how long each
// time the feed was behind: from the answer to the first fetch that shows it.
func (s *served) feedAges(feed string, end time.Time) []time.Duration {
	client, written := plainClient(), regexp.MustCompile(`written=(\d+)`)
	var ages []time.Duration
	until := func(there bool) bool {
		began := time.Now()
		for time.Now().Before(end) {
			asked := time.Now()
			answer, err := client.Get(feed)
			if err != nil {
				s.t.Error(err)
				return false
			}
			body, err := io.ReadAll(answer.Body)
			_ = answer.Body.Close()
			if err == nil && bytes.Contains(body, []byte("SUMMARY:Done: Descale")) == there {
				ages = append(ages, asked.Sub(began))
				return true
			}
			time.Sleep(20 * time.Millisecond)
		}
		return false
	}
	for time.Now().Before(end) {
		answer, err := client.PostForm(s.pages+"tasks/machine/descale/steam/done", url.Values{"date": {time.Now().UTC().Add(-24 * time.Hour).Format(time.DateOnly)}})
		if err != nil {
			s.t.Error(err)
			return ages
		}
		_ = answer.Body.Close()
		id := written.FindStringSubmatch(answer.Header.Get("Location"))
		if id == nil {
			s.t.Errorf("a service was not taken: %s", answer.Status)
			return ages
		}
		shown := until(true)
		answer, err = client.PostForm(s.pages+"history/"+id[1]+"/take-back", url.Values{})
		if err != nil {
			s.t.Error(err)
			return ages
		}
		_ = answer.Body.Close()
		if answer.StatusCode != http.StatusSeeOther {
			s.t.Errorf("a service was not taken back: %s", answer.Status)
			return ages
		}
		if !shown || !until(false) {
			return ages
		}
		time.Sleep(time.Second)
	}
	return ages
}

// shows waits until what is written down is in the feed, and says how long it took.
func (s *served) shows(feed string) {
	s.t.Helper()
	client := plainClient()
	const task = "machine/descale/steam"
	if answer, err := client.PostForm(s.pages+"tasks/"+task+"/done", url.Values{"date": {time.Now().UTC().Add(-24 * time.Hour).Format(time.DateOnly)}}); err != nil || answer.StatusCode != http.StatusSeeOther {
		s.t.Fatalf("a service was not taken: %v, %v", answer, err)
	}
	began := time.Now()
	for { // the test's own deadline ends it where the feed never shows it
		answer, err := client.Get(feed)
		if err != nil {
			s.t.Fatal(err)
		}
		body, err := io.ReadAll(answer.Body)
		if err != nil {
			s.t.Fatal(err)
		}
		_ = answer.Body.Close()
		if bytes.Contains(body, []byte("SUMMARY:Done: Descale")) {
			s.t.Logf("what was written is in the feed after %v", time.Since(began).Round(time.Millisecond))
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// plainClient follows no redirection.
func plainClient() *http.Client {
	return &http.Client{Transport: &http.Transport{}, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// slowClients send the beginning of a request and no more, or hang up in its middle.
func (s *served) slowClients(end time.Time) {
	host := strings.TrimSuffix(strings.TrimPrefix(s.pages, "http://"), "/")
	var open []net.Conn
	for n := 0; time.Now().Before(end); n++ {
		conn, err := net.Dial("tcp", host)
		if err != nil {
			continue
		}
		fmt.Fprintf(conn, "POST /water HTTP/1.1\r\nHost: %s\r\nContent-Length: 1000\r\n\r\nhalf", host)
		if n%2 == 0 {
			_ = conn.Close()
		} else {
			open = append(open, conn)
		}
		time.Sleep(100 * time.Millisecond)
	}
	for _, conn := range open {
		_ = conn.Close()
	}
}

// feed returns the address of the calendar.
func (s *served) feed() string {
	for line := range strings.Lines(s.run("calendar", "address")) {
		if address := strings.TrimSpace(line); strings.HasPrefix(address, "http") && strings.HasSuffix(address, "limekeep.ics") {
			return address
		}
		for _, word := range strings.Fields(line) {
			if strings.HasPrefix(word, "http") && strings.HasSuffix(word, "/limekeep.ics") {
				return word
			}
		}
	}
	s.t.Fatal("no address of the calendar is told")
	return ""
}

// resident returns the memory that the server holds, in bytes; 0 where it cannot be told.
func (s *served) resident() int64 {
	data, err := os.ReadFile(filepath.Join("/proc", strconv.Itoa(s.pid), "statm"))
	if err != nil {
		return 0
	}
	fields := strings.Fields(string(data))
	if len(fields) < 2 {
		return 0
	}
	pages, err := strconv.ParseInt(fields[1], 10, 64)
	if err != nil {
		return 0
	}
	return pages * int64(os.Getpagesize())
}
