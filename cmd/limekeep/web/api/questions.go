package api

import (
	"context"
	"slices"

	"github.com/danielgtaylor/huma/v2"

	"limekeep/schedule/advice"
	"limekeep/schedule/day"
	"limekeep/schedule/record"
)

// nothing is asked beside the address.
type nothing struct{}

// task is asked about one task. Its id holds slashes, so that it is no part of the path.
type task struct {
	Task string `query:"task" required:"true" doc:"Id of the task, or as much of it as no other shares" example:"machine/descale/steam"`
}

// equipment is asked about one piece of equipment.
type equipment struct {
	ID string `path:"id" doc:"Id of the equipment"`
}

// vessel is asked about one vessel.
type vessel struct {
	ID     string `path:"id" doc:"Id of the machine"`
	Vessel string `path:"vessel" doc:"Id of the vessel"`
}

// TaskAnswer is when a task falls due and why, and its gauges over time.
type TaskAnswer struct {
	Due     day.Due           `json:"due"`
	Courses []day.GaugeCourse `json:"courses"`
}

// WaterAnswer is what is known of a line's water.
type WaterAnswer struct {
	Source    day.PartState        `json:"source"`
	Treatment []day.StageState     `json:"treatment"`
	Meaning   *advice.WaterMeaning `json:"meaning" doc:"Of the newest test; null where the line was never tested"`
	NextLitre *advice.NextLitre    `json:"next_litre"`
	Tests     []WaterTestOfADay    `json:"tests"`
}

// WaterTestOfADay is a test with its day and number.
type WaterTestOfADay struct {
	Record int64            `json:"record"`
	On     record.Date      `json:"on"`
	Test   record.WaterTest `json:"test"`
}

// DueSummary is what home automation shows: how much is past and what comes next.
type DueSummary struct {
	Today    record.Date  `json:"today"`
	Overdue  int          `json:"overdue" doc:"Tasks that are likely past their limit"`
	Warnings []string     `json:"warnings" doc:"What cannot wait for a date"`
	Next     *day.Due     `json:"next" doc:"The task that is likely due next; null where nothing is in sight"`
	Sitting  *NextSitting `json:"next_sitting" doc:"Null where none is planned"`
}

// NextSitting is the sitting that comes first.
type NextSitting struct {
	Start   string   `json:"start" format:"date-time"`
	Minutes float64  `json:"minutes"`
	Tasks   []string `json:"tasks" doc:"Their titles, in order"`
}

func (s *Server) questions(api huma.API) {
	ask(s, api, "place", "/place", "The place, its equipment and its water lines", func(_ context.Context, f *day.Forecast, _ *nothing) (day.PlaceInfo, error) {
		return f.Day.Info(), nil
	})
	ask(s, api, "summary", "/summary", "How much is past and what comes next, in a few figures", func(_ context.Context, f *day.Forecast, _ *nothing) (DueSummary, error) {
		return summary(f), nil
	})
	ask(s, api, "due", "/due", "Every task that can fall due, the soonest first, with its window and why", func(_ context.Context, f *day.Forecast, _ *nothing) ([]day.Due, error) {
		return f.Due(), nil
	})
	ask(s, api, "task", "/task", "One task, with its gauges over time", func(_ context.Context, f *day.Forecast, in *task) (TaskAnswer, error) {
		due, err := f.DueOf(in.Task)
		if err != nil {
			return TaskAnswer{}, err
		}
		courses, err := f.Courses(due.Task)
		return TaskAnswer{due, nonNil(courses)}, err
	})
	ask(s, api, "tasks", "/tasks", "What the catalogue says of every task: cautions, making safe, steps, limits and their sources", func(_ context.Context, f *day.Forecast, _ *nothing) ([]day.TaskInfo, error) {
		return f.Day.Tasks(), nil
	})
	ask(s, api, "plan", "/plan", "Sittings, visits, routine and orders", func(_ context.Context, f *day.Forecast, _ *nothing) (day.PlanInfo, error) {
		return f.Plan(), nil
	})
	ask(s, api, "machine", "/machines/{id}", "A machine part by part, in the order the water meets them", func(_ context.Context, f *day.Forecast, in *equipment) (day.MachineParts, error) {
		return f.Parts().Machine(in.ID)
	})
	ask(s, api, "vessel", "/machines/{id}/vessels/{vessel}", "A vessel: its scale, its water, what the scale costs", func(_ context.Context, f *day.Forecast, in *vessel) (day.VesselReport, error) {
		return f.Parts().Vessel(in.ID, in.Vessel)
	})
	ask(s, api, "water", "/water/{id}", "The water of a line: what its newest test means, its treatment, where its hardness goes", func(_ context.Context, f *day.Forecast, in *equipment) (WaterAnswer, error) {
		return waterOf(f, in.ID)
	})
	ask(s, api, "history", "/history", "All that was written down, the oldest first; what was taken back is marked", func(ctx context.Context, f *day.Forecast, _ *nothing) ([]day.HistoryLine, error) {
		return f.Day.History(ctx)
	})
}

func summary(f *day.Forecast) DueSummary {
	s := DueSummary{Today: f.Day.Today, Warnings: nonNil(f.Warnings())}
	for _, due := range f.Due() {
		switch {
		case due.Overdue:
			s.Overdue++
		case s.Next == nil && due.Likely != nil:
			s.Next = &due
		}
	}
	if sittings := f.Plan().Sittings; len(sittings) > 0 {
		next := &NextSitting{Start: sittings[0].Start.Format("2006-01-02T15:04:05Z07:00"), Minutes: sittings[0].Minutes}
		for _, turn := range sittings[0].Turns {
			next.Tasks = append(next.Tasks, turn.Title)
		}
		s.Sitting = next
	}
	return s
}

func waterOf(f *day.Forecast, line string) (WaterAnswer, error) {
	source, stages, err := f.Parts().Line(line)
	if err != nil {
		return WaterAnswer{}, err
	}
	w := WaterAnswer{Source: source, Treatment: nonNil(stages), Tests: []WaterTestOfADay{}}
	tests := f.Day.Book.WaterTests(line)
	for _, t := range tests {
		w.Tests = append(w.Tests, WaterTestOfADay{t.ID, t.On, t.Body})
	}
	if len(tests) == 0 {
		return w, nil
	}
	meaning, err := advice.MeaningIn(f, tests[len(tests)-1].Body)
	if err != nil {
		return w, err
	}
	w.Meaning = &meaning
	litre, ok, err := advice.NextLitreOf(f, line)
	if err == nil && ok {
		w.NextLitre = &litre
	}
	return w, err
}

// nonNil lets an empty list be written as one.
func nonNil[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return slices.Clip(list)
}
