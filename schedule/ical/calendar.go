package ical

import (
	"fmt"
	"io"
	"strings"
	"time"

	goical "github.com/emersion/go-ical"

	"limekeep/schedule/agenda"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// productID names the program in the calendars it writes (RFC 5545, 3.7.3).
const productID = "-//limekeep//upkeep//EN"

// colorName is the colour in which calendars of ours show (RFC 7986, 5.9: a name of
// CSS3), and ColorRGBA the same as #RRGGBBAA, as task apps have it.
const (
	colorName = "teal"
	ColorRGBA = "#008080FF"
)

// refresh is how often a subscriber is asked to look again.
const refresh = 12 * time.Hour

// Encode writes an agenda as one calendar. A calendar must hold a component;
// the place's own time zone always is one, so an agenda with nothing in it is a
// valid calendar too. It names no METHOD: it is a snapshot, not a message of
// scheduling (RFC 5545, 3.7.2), which would have to name an organizer (RFC 5546,
// 3.2.1). The same agenda gives the same bytes.
func Encode(w io.Writer, a agenda.Agenda) error {
	cal := newCalendar("Machine care, " + a.Name)
	first, last := spanOf(a)
	cal.Children = append(cal.Children, descriptionsOf(a.Zone).of(first, last.AddDate(0, 0, 2)))
	cal.Children = append(cal.Children, events(a)...)
	if err := goical.NewEncoder(&lineFolder{w: w}).Encode(cal); err != nil {
		return fmt.Errorf("the calendar of %s: %w", a.Place, err)
	}
	return nil
}

// newCalendar makes a calendar with all that stands before its components.
func newCalendar(name string) *goical.Calendar {
	cal := goical.NewCalendar()
	cal.Props.SetText(goical.PropVersion, "2.0")
	cal.Props.SetText(goical.PropProductID, productID)
	cal.Props.SetText(goical.PropCalendarScale, "GREGORIAN")
	setText(cal.Props, goical.PropName, name)
	title := goical.NewProp("X-WR-CALNAME") // what older subscribers read for NAME
	title.SetText(clean(name))
	title.Params.Del(goical.ParamValue)
	cal.Props.Set(title)
	cal.Props.SetText(goical.PropColor, colorName)
	interval := goical.NewProp(goical.PropRefreshInterval)
	interval.Params.Set(goical.ParamValue, string(goical.ValueDuration)) // RFC 7986, 5.7: never left out
	interval.Value = duration(refresh)
	cal.Props.Set(interval)
	ttl := goical.NewProp("X-PUBLISHED-TTL")
	ttl.Value = duration(refresh)
	cal.Props.Set(ttl)
	return cal
}

// spanOf returns from when to when the entries of an agenda begin, today among them.
func spanOf(a agenda.Agenda) (first, last time.Time) {
	first, last = a.Today.In(a.Zone), a.Today.In(a.Zone)
	for _, e := range a.Entries {
		if e.Start.Before(first) {
			first = e.Start
		}
		if e.Start.After(last) {
			last = e.Start
		}
	}
	for _, e := range a.Booked {
		if e.Visit.Begins.Before(first) {
			first = e.Visit.Begins
		}
		if e.Visit.Begins.After(last) {
			last = e.Visit.Begins
		}
	}
	for _, e := range a.Cancelled {
		if e.Start.Before(first) {
			first = e.Start
		}
		if e.Start.After(last) {
			last = e.Start
		}
	}
	return first, last
}

// events makes the VEVENTs of an agenda.
func events(a agenda.Agenda) []*goical.Component {
	if a.Grouped {
		return groupEvents(a)
	}
	var all []*goical.Component
	for _, e := range a.Entries {
		all = append(all, event(a, e))
	}
	for _, e := range a.Done {
		all = append(all, doneEvent(a, e))
	}
	return append(all, cancelledEvents(a)...)
}

// Count returns how many entries the calendar of an agenda has.
func Count(a agenda.Agenda) int { return len(events(a)) }

// event makes the VEVENT of one entry.
func event(a agenda.Agenda, e agenda.AgendaEntry) *goical.Component {
	ev := openHead(e).component(goical.CompEvent, a)
	status, transparency := "CONFIRMED", "OPAQUE"
	if e.Tentative {
		status = "TENTATIVE"
	}
	if e.AllDay {
		transparency = "TRANSPARENT"
		day := record.DateOf(e.Start.In(a.Zone))
		setDate(ev.Props, goical.PropDateTimeStart, day)
		setDate(ev.Props, goical.PropDateTimeEnd, day+1)
	} else {
		setSpan(ev.Props, e.Start, e.Start.Add(time.Duration(e.Minutes*float64(time.Minute))), a.Zone)
	}
	for _, before := range e.Alarms {
		ev.Children = append(ev.Children, alarm(e.Due.Title, before))
	}
	if e.EveryDays > 0 {
		ev.Props.Set(&goical.Prop{Name: goical.PropRecurrenceRule, Value: fmt.Sprintf("FREQ=DAILY;INTERVAL=%d", e.EveryDays)})
	}
	ev.Props.SetText(goical.PropStatus, status)
	ev.Props.SetText(goical.PropTransparency, transparency)
	return ev
}

// alarm reminds of a task some time before it starts, negative for after.
func alarm(title string, before time.Duration) *goical.Component {
	al := goical.NewComponent(goical.CompAlarm)
	al.Props.SetText(goical.PropAction, "DISPLAY")
	if strings.TrimSpace(clean(title)) == "" {
		title = "Machine care" // it must say something (RFC 5545, 3.6.6)
	}
	setText(al.Props, goical.PropDescription, title)
	sign := "-"
	if before <= 0 {
		sign, before = "", -before
	}
	trigger := goical.NewProp(goical.PropTrigger)
	trigger.Value = sign + duration(before)
	al.Props.Set(trigger)
	return al
}

// setCategories sorts an entry under its equipment. A name with nothing to see in
// it is left out: libical takes a property without a value for an error.
func setCategories(props goical.Props, names ...string) {
	var seen []string
	for _, name := range names {
		if name = clean(name); strings.TrimSpace(name) != "" {
			seen = append(seen, name)
		}
	}
	if len(seen) == 0 {
		return
	}
	categories := goical.NewProp(goical.PropCategories)
	categories.SetTextList(seen)
	props.Set(categories)
}

// setLink leads back to a page, where pages are served.
func setLink(props goical.Props, base, page string) {
	if base == "" {
		return
	}
	link := goical.NewProp(goical.PropURL)
	link.Value = base + page
	link.SetValueType(goical.ValueURI)
	props.Set(link)
}

// description puts what can hurt and how to make safe first.
func description(d day.Due) string {
	var b strings.Builder
	b.WriteString("BEFORE YOU START\n")
	for _, c := range d.Cautions {
		b.WriteString("- " + c + "\n")
	}
	b.WriteString("\nMAKE SAFE, IN THIS ORDER\n")
	for i, s := range d.MakeSafe {
		fmt.Fprintf(&b, "%d. %s\n", i+1, s)
	}
	if n := len(d.Why); n > 0 {
		b.WriteString("\nWHY NOW\n" + d.Why[n-1] + "\n")
	}
	return strings.TrimRight(b.String(), "\n")
}

// lineEnds writes every line's end the way a calendar's text does. Those of
// Unicode could stand in it, but many programs take them for the end of the whole
// content line and lose what follows: vdirsyncer (Python's splitlines), node-ical
// (a dot in a pattern of JavaScript).
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n")

// clean takes out what a calendar's text cannot hold: carriage returns and
// other control characters (RFC 5545, 3.3.11).
func clean(text string) string {
	text = strings.ToValidUTF8(lineEnds.Replace(text), "\uFFFD")
	return strings.Map(func(r rune) rune {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, text)
}

func setText(props goical.Props, name, text string) { props.SetText(name, clean(text)) }

// duration writes whole minutes, 0 or more, the way RFC 5545, 3.3.6 does.
func duration(d time.Duration) string {
	minutes := int(d.Minutes())
	switch {
	case minutes > 0 && minutes%(24*60) == 0:
		return fmt.Sprintf("P%dD", minutes/(24*60))
	case minutes > 0 && minutes%60 == 0:
		return fmt.Sprintf("PT%dH", minutes/60)
	}
	return fmt.Sprintf("PT%dM", minutes)
}
