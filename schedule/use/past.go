package use

import "limekeep/schedule/record"

// past is what one machine did from its first day up to today.
type past struct {
	machine           record.Equipment
	habits            habits
	first             record.Date
	days              []Day
	says              [][]Origin // by day: the records that speak of it
	guests            []float64  // by day: shots a day on top of the habit
	steamed, hotWater []float64  // by day: shots with milk, litres, as written down
	milkTold          []float64  // by day: shots of which is written down how many got milk
	hotWaterTold      []float64  // by day: shots of which is written down what hot water went with them
	hotWaterGuessed   []float64  // by day: litres that nobody wrote down
	batches           int
	drawn             []record.UseDay // of all records
}

// Origin is what one record says of a day.
type Origin struct {
	Record  int64 // 0 where it is not known
	Basis   Basis
	Shots   float64
	Counted bool // false where a more trusted record speaks of the same day
}

// pastOf works out the days of a machine from a day on, up to the book's.
func pastOf(book *record.Book, machine record.Equipment, first record.Date) *past {
	n := max(0, int(book.Until-first)+1)
	p := &past{
		machine: machine, habits: habitsOf(book, machine), first: first,
		days: make([]Day, n), says: make([][]Origin, n), guests: guestsOf(book, machine.ID, first, n),
		steamed: make([]float64, n), hotWater: make([]float64, n), milkTold: make([]float64, n),
		hotWaterTold: make([]float64, n), hotWaterGuessed: make([]float64, n),
	}
	batches := map[int64]record.UseBatch{}
	silent := make([]bool, n)
	for _, b := range book.UseBatches(machine.ID) {
		batches[b.ID] = b.Body
		p.batches++
		for i := max(0, int(b.Body.From-first)); i < n && first+record.Date(i) <= b.Body.To; i++ {
			silent[i] = true
		}
	}
	away := awayOf(book, machine.ID, first, n)
	p.drawn = book.DaysOf(machine.ID)
	rows := p.rowsByDay(batches)
	for i := range p.days {
		on := first + record.Date(i)
		d := p.habits.on(on)
		switch {
		case len(rows[i]) > 0:
			p.days[i] = p.written(i, d, rows[i], batches)
		case away[i]:
			p.days[i] = Day{Basis: ByAway}
		case silent[i]:
			p.days[i] = d.logged(record.UseDay{Date: on})
			p.days[i].Basis = BySilence
		default:
			p.days[i] = d.expected(on, d.shots(on)+p.guests[i])
			p.days[i].Basis = ByHabit
		}
	}
	return p
}

// rowsByDay gives, for each day, what the most trusted kind of record says of
// it, and notes all that speak of it.
func (p *past) rowsByDay(batches map[int64]record.UseBatch) [][]record.UseDay {
	rows := make([][]record.UseDay, len(p.days))
	byHand := func(u record.UseDay) bool {
		b, ok := batches[u.Record]
		return ok && b.ByHand()
	}
	eachDay := func(do func(i int, u record.UseDay)) {
		for _, u := range p.drawn {
			if i := int(u.Date - p.first); i >= 0 && i < len(rows) {
				do(i, u)
			}
		}
	}
	logged := make([]bool, len(p.days))
	eachDay(func(i int, u record.UseDay) {
		if !byHand(u) {
			logged[i] = true
			rows[i] = append(rows[i], u)
			p.says[i] = append(p.says[i], Origin{Record: u.Record, Basis: ByLog, Shots: u.Shots, Counted: true})
		}
	})
	left := p.leftByLogs(batches, rows, logged)
	eachDay(func(i int, u record.UseDay) {
		if !byHand(u) {
			return
		}
		if logged[i] {
			p.says[i] = append(p.says[i], Origin{Record: u.Record, Basis: ByHand, Shots: u.Shots})
			return
		}
		if share, ok := left[u.Record]; ok {
			u = share.of(u)
		}
		rows[i] = append(rows[i], u)
		p.says[i] = append(p.says[i], Origin{Record: u.Record, Basis: ByHand, Shots: u.Shots, Counted: true})
	})
	return rows
}

// written adds up the rows of a day.
func (p *past) written(i int, d drinks, rows []record.UseDay, batches map[int64]record.UseBatch) Day {
	sum := record.UseDay{Date: p.first + record.Date(i)}
	basis := ByLog
	milkGuessed := 0.0
	for _, u := range rows {
		b, known := batches[u.Record]
		if known && b.ByHand() {
			basis = ByHand
		}
		if known && b.MilkUnsaid && u.Steamed == 0 {
			u.Steamed = d.steamed(u.Shots)
			if d.milkAssumed {
				milkGuessed += u.Steamed
			}
		} else {
			p.milkTold[i] += u.Shots
		}
		switch {
		case !known || !b.HotWaterUnsaid || u.HotWaterLitres > 0:
			p.hotWaterTold[i] += u.Shots
		case d.hotWater.Assumed():
			u.HotWaterLitres = d.hotWaterPerShot * u.Shots
			p.hotWaterGuessed[i] += u.HotWaterLitres
		case u.Shots > 0 && sum.HotWaterLitres == 0:
			u.HotWaterLitres = d.hotWaterLitres
		}
		sum = plus(sum, u)
	}
	p.steamed[i], p.hotWater[i] = sum.Steamed, sum.HotWaterLitres
	day := d.logged(sum)
	day.Basis = basis
	day.GuessedSteamLitres, day.GuessedHotWaterLitres = d.steamGrams*milkGuessed/1000, p.hotWaterGuessed[i]
	return day
}

func plus(sum, u record.UseDay) record.UseDay {
	sum.Shots += u.Shots
	sum.DosedShots += u.DosedShots
	sum.DoseGrams += u.DoseGrams
	sum.YieldShots += u.YieldShots
	sum.YieldGrams += u.YieldGrams
	sum.Steamed += u.Steamed
	sum.HotWaterLitres += u.HotWaterLitres
	sum.HalfHours |= u.HalfHours
	return sum
}

// remainder is the share of an entry by hand that is left for the days that no
// log has rows of.
type remainder struct{ drinks, hotWater float64 }

func (r remainder) of(u record.UseDay) record.UseDay {
	hotWater := u.HotWaterLitres * r.hotWater
	u.Shots *= r.drinks
	u.DosedShots *= r.drinks
	u.DoseGrams *= r.drinks
	u.YieldShots *= r.drinks
	u.YieldGrams *= r.drinks
	u.Steamed *= r.drinks
	u.HotWaterLitres = hotWater
	return u
}

// leftByLogs finds the entries over several days of which a log has some: what
// the log says of those days is taken off the entry's sum.
func (p *past) leftByLogs(batches map[int64]record.UseBatch, rows [][]record.UseDay, logged []bool) map[int64]remainder {
	left := map[int64]remainder{}
	for id, b := range batches {
		if !b.ByHand() || b.From == b.To {
			continue
		}
		var entry, open, log record.UseDay
		overlaps := false
		for i := max(0, int(b.From-p.first)); i < len(logged) && p.first+record.Date(i) <= b.To; i++ {
			if logged[i] {
				overlaps = true
				for _, u := range rows[i] {
					log = plus(log, u)
				}
			}
		}
		if !overlaps {
			continue
		}
		for _, u := range p.drawn {
			i := int(u.Date - p.first)
			if u.Record != id || i < 0 || i >= len(logged) {
				continue
			}
			entry = plus(entry, u)
			if !logged[i] {
				open = plus(open, u)
			}
		}
		left[id] = remainder{
			drinks:   shareLeft(entry.Shots, log.Shots, open.Shots),
			hotWater: shareLeft(entry.HotWaterLitres, log.HotWaterLitres, open.HotWaterLitres),
		}
	}
	return left
}

func shareLeft(all, taken, open float64) float64 {
	if open <= 0 {
		return 1
	}
	return max(0, all-taken) / open
}

// awayOf tells for each of n days whether nobody was there.
func awayOf(book *record.Book, machine string, first record.Date, n int) []bool {
	away := make([]bool, n)
	for _, a := range book.Aways(machine) {
		for i := max(0, int(a.Body.From-first)); i < n && a.Body.Covers(machine, first+record.Date(i)); i++ {
			away[i] = true
		}
	}
	return away
}

// guestsOf returns for each of n days the shots that guests add to the habit.
func guestsOf(book *record.Book, machine string, first record.Date, n int) []float64 {
	shots := make([]float64, n)
	for _, g := range book.Guests(machine) {
		for i := max(0, int(g.Body.From-first)); i < n && g.Body.Covers(machine, first+record.Date(i)); i++ {
			shots[i] += g.Body.Shots
		}
	}
	return shots
}

// on returns the day of a date; false where the past does not reach.
func (p *past) on(d record.Date) (Day, bool) {
	i := int(d - p.first)
	if i < 0 || i >= len(p.days) {
		return Day{}, false
	}
	return p.days[i], true
}
