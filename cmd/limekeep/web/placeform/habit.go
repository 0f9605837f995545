package placeform

import (
	"fmt"

	"limekeep/cmd/limekeep/web/form"
	"limekeep/cmd/limekeep/web/wording"
	"limekeep/schedule/record"
)

func (w writer) habit(h record.Habit) []form.Field {
	weekday, weekend := h.SaidShots()
	all := w.fields("habit", "Habit", map[string]any{
		"weekday_shots": weekday, "weekend_shots": weekend, "steamed_share": h.SteamedShare, "steamed_shots": h.SteamedShots,
		"hot_water_litres": h.HotWaterLitres, "dose_grams": h.DoseGrams, "yield_grams": h.YieldGrams, "hot_hours": h.HotHours, "since": h.Since,
	}, "weekday_shots", "weekend_shots", "steamed_share", "steamed_shots", "hot_water_litres", "dose_grams", "yield_grams", "hot_hours", "since")
	for i := range len(h.HotTimer) + 1 {
		var t record.Timer
		if i < len(h.HotTimer) {
			t = h.HotTimer[i]
		}
		all = append(all, timerRow(i, t, i == len(h.HotTimer)))
	}
	return all
}

// timerRow asks for what switches a machine on and off on some days of the week.
func timerRow(i int, t record.Timer, fresh bool) form.Field {
	name := func(part string) string { return fmt.Sprintf("timer-%d-%s", i, part) }
	days := form.Field{Name: name("days"), Label: wording.Days, Kind: form.ChoiceInput, Choices: append([]form.Choice{{Label: wording.NoTimer}}, form.WeeklyDays()...)}
	on := form.Field{Name: name("on"), Label: wording.OnAt, Kind: form.TimeInput}
	off := form.Field{Name: name("off"), Label: wording.OffAt, Kind: form.TimeInput}
	from, ok := form.WeeklyOf(t.On)
	to, also := form.WeeklyOf(t.Off)
	switch {
	case ok && also && from.Days == to.Days:
		days.Value, on.Value, off.Value = from.Days, from.Clock, to.Clock
	case !fresh:
		days.Choices = append(days.Choices, form.Choice{Value: asWritten, Label: wording.AsWrittenOnOff(t.On, t.Off)})
		days.Value = asWritten
	}
	label := wording.Timer(i + 1)
	if fresh {
		label = wording.AnotherTimer
	}
	return form.Field{Label: label, Kind: form.RowInput, Row: []form.Field{days, on, off}}
}

func (r reader) habit(h *record.Habit) {
	weekday, weekend := h.SaidShots()
	r.into("habit", "habit", map[string]any{
		"since": &h.Since, "weekday_shots": &weekday, "weekend_shots": &weekend, "steamed_share": &h.SteamedShare, "steamed_shots": &h.SteamedShots,
		"hot_water_litres": &h.HotWaterLitres, "dose_grams": &h.DoseGrams, "yield_grams": &h.YieldGrams, "hot_hours": &h.HotHours,
		"flush_before_grams": &h.FlushBeforeGrams, "flush_after_grams": &h.FlushAfterGrams, "warm_up_grams": &h.WarmUpGrams, "puck_grams_per_gram": &h.PuckGramsPerGram, "steam_grams": &h.SteamGrams,
	})
	h.SayShots(weekday, weekend)
	was := h.HotTimer
	h.HotTimer = nil
	for i := range len(was) + 1 {
		name := func(part string) string { return fmt.Sprintf("timer-%d-%s", i, part) }
		t := record.Timer{}
		switch days := r.form.Text(name("days")); {
		case days == "":
			continue
		case days == asWritten && i < len(was):
			t = was[i]
		default:
			t.On = r.weekly(days, name("on"))
			t.Off = r.weekly(days, name("off"))
		}
		r.form.Call(name("on"), fmt.Sprintf("%s.habit.hot_timer[%d].on", r.id, len(h.HotTimer)))
		r.form.Call(name("off"), fmt.Sprintf("%s.habit.hot_timer[%d].off", r.id, len(h.HotTimer)))
		h.HotTimer = append(h.HotTimer, t)
	}
	h.Drinks = readList(&r, "drinks", "habit.drinks", h.Drinks, func(prefix, at string, d *record.Drink) {
		r.into(prefix, at, map[string]any{"name": &d.Name, "steamed": &d.Steamed, "hot_water_litres": &d.HotWaterLitres})
	})
}

// weekly reads the time of day in an input, on days that were chosen.
func (r reader) weekly(days, name string) string {
	expression, ok := form.Weekly{Days: days, Clock: r.form.Text(name)}.Cron()
	if !ok {
		r.form.Wrong(name, &record.FieldError{Field: r.form.Find(name).Label, Value: r.form.Text(name), Want: wording.ATimeOfDaySuchAsHalfPastSix})
	}
	return expression
}

func (w writer) drinks(h record.Habit) []form.Field {
	all := w.fields("habit", "Habit", map[string]any{
		"flush_before_grams": h.FlushBeforeGrams, "flush_after_grams": h.FlushAfterGrams, "warm_up_grams": h.WarmUpGrams, "puck_grams_per_gram": h.PuckGramsPerGram, "steam_grams": h.SteamGrams,
	}, "flush_before_grams", "flush_after_grams", "warm_up_grams", "puck_grams_per_gram", "steam_grams")
	return append(all, list("drinks", h.Drinks, wording.AnotherDrink, func(prefix string, d record.Drink, _ bool) (string, []form.Field) {
		return d.Name, w.fields(prefix, "Drink", map[string]any{"name": d.Name, "steamed": d.Steamed, "hot_water_litres": d.HotWaterLitres}, "name", "steamed", "hot_water_litres")
	})...)
}
