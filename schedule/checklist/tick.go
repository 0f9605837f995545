package checklist

import "time"

// Tick takes an item as done: what is confirmed, switched, waited for, or a stretch of
// work that is not its task's last. A wait that follows from it starts. What was done
// already stays as it is. A step that needs something made safe before is a
// *NotSafeError.
func (c *Checklist) Tick(i int, now time.Time) error {
	x, err := c.at(i)
	switch {
	case err != nil:
		return err
	case x.Last:
		return &OutOfRangeError{i} // that is written down
	case len(c.Unsafe(i)) > 0:
		return &NotSafeError{x.Says}
	case x.Done.IsZero():
		x.Done, x.Left = now, false
		c.startAfter(i, now)
	}
	return nil
}

// Written takes a task as written down with a record.
func (c *Checklist) Written(i int, record int64, now time.Time) error {
	x, err := c.at(i)
	switch {
	case err != nil:
		return err
	case !x.Last:
		return &OutOfRangeError{i}
	case len(c.Unsafe(i)) > 0:
		return &NotSafeError{x.Says}
	}
	x.Done, x.Record, x.Left = now, record, false
	for k := range c.Items { // what came before it has been done, whether ticked or not
		if other := &c.Items[k]; other.Task == x.Task && other.Open() {
			other.Done = now
		}
	}
	return nil
}

// Start starts a wait; one that runs goes on as it is.
func (c *Checklist) Start(i int, now time.Time) error {
	x, err := c.at(i)
	if err != nil {
		return err
	}
	if !x.Runs() || !x.Open() {
		return &OutOfRangeError{i}
	}
	if x.Started.IsZero() {
		x.Started = now
	}
	return nil
}

// startAfter starts the wait that follows from an item: soaking from the work before
// it, cooling and heating from the switch.
func (c *Checklist) startAfter(i int, now time.Time) {
	x := c.Items[i]
	for k := i + 1; k < len(c.Items); k++ {
		next := &c.Items[k]
		follows := false
		switch x.Kind {
		case Work:
			if next.Task == x.Task && next.Kind == Work {
				return
			}
			follows = next.Kind == Wait && next.Task == x.Task
		case SwitchOff:
			follows = next.Kind == Cooling && next.Of == x.Of
		case SwitchOn:
			follows = next.Kind == Heating && next.Of == x.Of
		}
		if follows && next.Open() && next.Started.IsZero() {
			next.Started = now
			return
		}
	}
}

// Leave leaves an item out, a task as a whole.
func (c *Checklist) Leave(i int) error {
	x, err := c.at(i)
	if err != nil {
		return err
	}
	if x.Kind == MakeSafe {
		return &OutOfRangeError{i}
	}
	for k := range c.Items {
		if other := &c.Items[k]; k == i || x.Task != "" && other.Task == x.Task {
			if other.Open() {
				other.Left = true
			}
		}
	}
	return nil
}

// Reopen takes a tick back, a task left out as a whole. A record that was written
// stays until it is taken back itself.
func (c *Checklist) Reopen(i int) error {
	x, err := c.at(i)
	if err != nil {
		return err
	}
	if x.Record != 0 {
		return &OutOfRangeError{i}
	}
	left := x.Left
	x.Done, x.Started, x.Left = time.Time{}, time.Time{}, false
	for k := range c.Items {
		if other := &c.Items[k]; left && x.Task != "" && other.Task == x.Task {
			other.Left = false
		}
	}
	return nil
}

// Follow brings a checklist in line with what is written down elsewhere: services
// says of a task which records it has. A task that has one after those it had as
// the sitting began is done; one whose record was taken back is open again.
func (c *Checklist) Follow(services func(task string) []int64, now time.Time) (changed bool) {
	if c.Over() {
		return false
	}
	for i := range c.Items {
		x := &c.Items[i]
		if !x.Last {
			continue
		}
		latest := int64(0)
		for _, id := range services(x.Task) {
			if id > x.Known {
				latest = max(latest, id)
			}
		}
		switch {
		case latest != 0 && x.Record != latest:
			x.Record, x.Left, changed = latest, false, true
			if x.Done.IsZero() {
				x.Done = now
			}
		case latest == 0 && x.Record != 0:
			x.Record, x.Done, changed = 0, time.Time{}, true
		}
	}
	return changed
}

// End ends the sitting.
func (c *Checklist) End(now time.Time) {
	if !c.Over() {
		c.Ended = now
	}
}
