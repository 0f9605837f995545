package day

import (
	"context"
	"slices"
	"sync"
	"time"

	"limekeep/schedule"
	"limekeep/schedule/care"
	"limekeep/schedule/plan"
	"limekeep/schedule/record"
	"limekeep/schedule/wear"
)

// wholeBook is all that records had of a place.
type wholeBook struct {
	of    schedule.Records
	place string
	book  *record.Book
}

// Opener opens the days that questions are asked about. It keeps nothing but the
// day opened last, with all that was worked out of it, for as long as the records
// and the settings stay the same. It is safe for use by several goroutines; its
// fields are set before the first day is opened.
type Opener struct {
	Records   schedule.Records
	Catalogue *care.Catalogue
	Now       func() time.Time // the clock

	Worlds     int  // how many worlds a forecast draws; DefaultWorlds where 0
	PlanEffort int  // how many steps the search for a plan may take; usual where 0
	PlanMonths int  // how far ahead sittings are planned; DefaultPlanMonths where 0
	Nightly    bool // whether plans are made night after night, so that on a quiet one little is looked for

	Courses bool // whether forecasts tell how gauges go over time, for pictures of them
	Workers int  // on how many processors a forecast is worked out at most; on all where 0

	// Mains is shared by openers of several places, so that what the tests of a water
	// district stand for is read once for those on it; nil for each its own.
	Mains *Mains

	// Turns is shared by openers whose forecasts are not to be worked out at once; its
	// own where nil.
	Turns *Turns

	// Busy returns the engagements of a place's owner within a time, in a zone for
	// those that name none; nil for none.
	Busy func(ctx context.Context, place string, within plan.Busy, zone *time.Location) ([]plan.Busy, error)

	// Derived is where outlooks are kept between runs, in the same file as the records;
	// nil for nowhere. Program tells this build of the program, with its catalogue, from
	// any other: nothing is kept where it is empty.
	Derived schedule.DerivedStore
	Program string

	// WatersAlone keeps between runs what water tests stand for and no outlook: where one
	// is worked out each day of many places, none is asked for twice.
	WatersAlone bool

	// Standings is where it is kept how places stand, whenever a forecast was worked out;
	// nil for nowhere.
	Standings schedule.DerivedStore

	// Spell spells what answers say can be done next, as the door does.
	Spell schedule.Speller

	memory  wear.Memory    // water tests already worked out
	history toldHistory    // of the place that was asked about last
	keeping sync.WaitGroup // of what is being kept

	mu       sync.Mutex
	last     *Day
	standing string // that was kept last

	once    sync.Once
	opening chan struct{} // holds one while a book is read, and guards the next
	read    wholeBook     // of the place that was read last
	turns   *Turns        // of the forecasts
}

// DefaultWorlds settles the 10, 50 and 90 % points to 2.5, 1.3 and 1.7 % of the way
// from the service before (wear's TestErrorOfChanceByWorlds); twice as many would leave
// 2.1, 1.0 and 1.3 %.
const DefaultWorlds = 500

// DefaultPlanMonths is how far ahead sittings are planned.
const DefaultPlanMonths = 18

// dayKey is all that the answers of a day follow from, but for the owner's own
// calendar.
type dayKey struct {
	records                schedule.Records
	version                int64 // of the records
	place                  string
	today                  record.Date
	worlds, effort, months int
	courses                bool
	catalogue              *care.Catalogue
}

// Open opens the day of a moment: the only place there is where the moment names
// none, and the date on the clock of that place where it names no day. The book
// is read once, or not at all where the day opened last still holds. Errors:
// ErrNoPlace, a *record.FieldError where there is more than one place, one that
// matches record.ErrUnknown for a place that was never set up, and one for a day
// on which the place was not there yet.
func (o *Opener) Open(ctx context.Context, m schedule.Moment) (*Day, error) {
	// Before the book is read: what is written meanwhile makes it another version.
	version, err := o.Records.Version(ctx)
	if err != nil {
		return nil, err
	}
	key := dayKey{
		records: o.Records, version: version, place: m.Place, today: m.Today,
		worlds: orDefault(o.Worlds, DefaultWorlds), effort: o.PlanEffort, months: orDefault(o.PlanMonths, DefaultPlanMonths),
		courses: o.Courses, catalogue: o.Catalogue,
	}
	if d := o.kept(key); d != nil { // of a place that was named, and so is there
		return d, nil
	}
	if m.Place == "" {
		if key.place, err = o.place(ctx, ""); err != nil {
			return nil, err
		}
		if d := o.kept(key); d != nil {
			return d, nil
		}
	}
	// One at a time, so that those who ask at once share the day that is opened.
	o.once.Do(o.begin)
	if err := take(ctx, o.opening); err != nil {
		return nil, err
	}
	defer func() { <-o.opening }()
	var book *record.Book
	var clock *time.Location
	for try := 1; ; try++ {
		if key.version, err = o.Records.Version(ctx); err != nil {
			return nil, err
		}
		if d := o.kept(key); d != nil {
			return d, nil
		}
		if book, clock, err = o.readFor(ctx, &key); err != nil {
			return nil, err
		}
		var shared int64
		if book, shared, err = o.withDistrict(ctx, book, key.today); err != nil {
			return nil, err
		}
		const mostTries = 3
		if shared <= key.version || try == mostTries {
			break
		}
		// Something was written meanwhile, or nobody knew yet of which district the place
		// is: what was read does not go by one version.
		key.today = m.Today
	}
	if err := o.there(ctx, key.place, book); err != nil {
		return nil, err
	}
	d, err := newDay(o, key, book)
	if err != nil {
		return nil, err
	}
	d.clock = clock
	o.keep(d)
	return d, nil
}

// place fills in the only place there is.
func (o *Opener) place(ctx context.Context, id string) (string, error) {
	places, err := o.Records.Places(ctx)
	switch {
	case err != nil:
		return "", err
	case len(places) == 0:
		return "", schedule.ErrNoPlace
	case id == "" && len(places) == 1:
		return places[0], nil
	case id == "":
		return "", &record.FieldError{Field: "place", Want: "one of " + record.OneOf("", places) + ", since there is more than one"}
	case !slices.Contains(places, id):
		return "", &record.UnknownError{What: "place", Name: id, Known: places}
	}
	return id, nil
}

// there returns an error where a book has no place since there is none of that id. All are
// listed for that alone: of many places a list is long.
func (o *Opener) there(ctx context.Context, id string, book *record.Book) error {
	if _, ok := book.Place(); ok {
		return nil
	}
	_, err := o.place(ctx, id)
	return err
}

// readFor reads the book of a day. Where the day is left open, the newest version of
// the place has the clock that says which it is; else that clock is nil.
func (o *Opener) readFor(ctx context.Context, key *dayKey) (*record.Book, *time.Location, error) {
	if !key.today.IsZero() && !o.knows(key.place) {
		book, err := o.Records.Read(ctx, key.place, key.today)
		return book, nil, err
	}
	all, err := o.whole(ctx, key.place)
	if err != nil {
		return nil, nil, err
	}
	var clock *time.Location
	if key.today.IsZero() {
		if err := o.there(ctx, key.place, all); err != nil {
			return nil, nil, err
		}
		place, ok := all.Place()
		if !ok {
			return nil, nil, schedule.ErrNoPlace
		}
		if clock, err = place.Location(); err != nil {
			return nil, nil, err
		}
		key.today = record.DateOf(o.Now().In(clock))
	}
	if book, ok := all.By(key.today); ok {
		return book, clock, nil
	}
	book, err := o.Records.Read(ctx, key.place, key.today)
	return book, clock, err
}

// knows reports whether a place was read before.
func (o *Opener) knows(place string) bool { return o.read.place == place && o.read.of == o.Records }

// whole returns all there is of a place, days to come included. Of the place that was
// asked about last only what is new is read. One at a time asks.
func (o *Opener) whole(ctx context.Context, place string) (*record.Book, error) {
	if !o.knows(place) {
		book, err := o.Records.Read(ctx, place, schedule.EndOfTime)
		if err != nil {
			return nil, err
		}
		o.read = wholeBook{o.Records, place, book}
		return book, nil
	}
	added, err := o.Records.Since(ctx, place, o.read.book.Last())
	if err != nil {
		return nil, err
	}
	if len(added.Entries) > 0 {
		o.read.book = o.read.book.With(added)
	}
	return o.read.book, nil
}

// withDistrict adds to a book the water tests of the district that its place is on, and
// returns the version of these; 0 where there are none.
func (o *Opener) withDistrict(ctx context.Context, book *record.Book, until record.Date) (*record.Book, int64, error) {
	place, ok := book.Place()
	if !ok || place.District == "" {
		return book, 0, nil
	}
	// The version before the book: what is written meanwhile makes it another.
	version, err := o.Records.VersionOf(ctx, schedule.DistrictBook(place.District))
	if err != nil || version == 0 {
		return book, 0, err
	}
	shared, err := o.Records.Read(ctx, schedule.DistrictBook(place.District), until)
	if err != nil || len(shared.Entries) == 0 {
		return book, version, err
	}
	return record.NewBook(book.Until, append(slices.Clone(book.Entries), shared.Entries...), book.Days), version, nil
}

// kept returns the day opened last, if it is the one asked for; else nil.
func (o *Opener) kept(key dayKey) *Day {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.last == nil {
		return nil
	}
	if key.today.IsZero() && key.place == o.last.key.place && o.last.clock != nil {
		key.today = record.DateOf(o.Now().In(o.last.clock))
	}
	if o.last.key != key {
		return nil
	}
	return o.last
}

func (o *Opener) begin() {
	o.opening, o.turns = make(chan struct{}, 1), o.Turns
	if o.turns == nil {
		o.turns = NewTurns()
	}
}

// turn waits until no other forecast is worked out.
func (o *Opener) turn(ctx context.Context) error {
	o.once.Do(o.begin)
	return o.turns.wait(ctx)
}

func (o *Opener) turnOver() { o.turns.over() }

// Forget lets go of the day opened last and of what was worked out of it, where memory
// is wanted for other places.
func (o *Opener) Forget() {
	o.once.Do(o.begin)
	o.opening <- struct{}{}
	o.read = wholeBook{}
	<-o.opening
	o.mu.Lock()
	defer o.mu.Unlock()
	o.last = nil
}

// take takes the one place there is in a channel, or returns why it gave up.
func take(ctx context.Context, place chan struct{}) error {
	select {
	case place <- struct{}{}:
		return nil
	case <-ctx.Done():
		return context.Cause(ctx)
	}
}

func (o *Opener) keep(d *Day) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.last != nil && o.last.key.place == d.key.place && o.last.key.today == d.key.today && o.last.key.version > d.key.version {
		return // something was written down while this one was read
	}
	if o.last != nil && o.last.clock != nil && d.clock == nil && o.last.key.place == d.key.place {
		return // a look at another day puts away nothing of the one on the clock
	}
	o.last = d
}

func orDefault(n, usual int) int {
	if n == 0 {
		return usual
	}
	return n
}
