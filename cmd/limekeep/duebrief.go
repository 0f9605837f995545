package main

import (
	"fmt"
	"io"
	"strings"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/schedule/say"
)

// How much of a list a brief shows before it counts the rest.
const (
	mostTold = 5  // tasks of a sitting, of a visit, of a round
	mostPast = 10 // tasks that are past, or come soon
)

// printBrief writes what to know today: what is wrong, the next sitting, whom to
// call, what is past, what comes soon, and how much comes later.
func printBrief(w io.Writer, b day.Brief) {
	for _, warning := range b.Warnings {
		printWrapped(w, "", "WARNING: "+warning)
		fmt.Fprintln(w)
	}
	printNextSitting(w, b.Next, "`limekeep next` shows its timetable, and how to make safe first.")
	if b.Narrows != nil {
		fmt.Fprintln(w)
		printWrapped(w, "", b.Narrows.Says)
	}
	if len(b.Booked) > 0 {
		fmt.Fprintln(w, "\nBOOKED:")
		printBooked(w, b.Booked)
	}
	for _, v := range b.Visits {
		titles := make([]string, len(v.Turns))
		for i, t := range v.Turns {
			titles[i] = t.Title
		}
		fmt.Fprintln(w)
		printWrapped(w, "", fmt.Sprintf("CALL BY %s, for about %s: %s for %s", v.CallBy.Long(), v.On.Long(), v.Who.People(), v.Name))
		printWrapped(w, "  ", shortList(titles)+".")
	}
	if len(b.Past) > 0 {
		fmt.Fprintf(w, "\nPAST their likely date, with the day each is planned for:\n")
		printTasks(w, b.Past, b.Today)
	}
	if b.CatchUp != nil {
		printWrapped(w, "", b.CatchUp.Says)
	}
	if len(b.Unmet) > 0 {
		fmt.Fprintln(w, "\nCANNOT BE MET:")
		for _, c := range b.Unmet {
			printUnmet(w, c)
		}
	}
	if len(b.Soon) > 0 {
		fmt.Fprintf(w, "\nLIKELY WITHIN A MONTH, with the day each is planned for:\n")
		printTasks(w, b.Soon, b.Today)
	}
	if len(b.Rounds) > 0 {
		fmt.Fprintln(w, "\nROUTINE:")
		printRounds(w, b.Rounds)
	}
	if b.Later > 0 {
		fmt.Fprintf(w, "\n%d later: `limekeep due --all`\n", b.Later)
	}
}

// printRounds writes when each round of the routine is done, and what it is.
func printRounds(w io.Writer, rounds []day.RoundInfo) {
	for _, r := range rounds {
		printWrapped(w, "  ", fmt.Sprintf("%s: %s.", r.Says, strings.Join(r.Titles, "; ")))
	}
}

// printNextSitting writes the next sitting in a few lines, and what shows more of it.
func printNextSitting(w io.Writer, s *day.SittingInfo, more string) {
	if s == nil {
		fmt.Fprintln(w, "NEXT SITTING: none is planned.")
		return
	}
	fmt.Fprintf(w, "NEXT SITTING %s, %.0f minutes, until %s", s.Start.Format("Mon 2 January 2006, 15:04"), s.Minutes, s.End().Format("15:04"))
	if s.Long {
		fmt.Fprint(w, ", longer than usual")
	}
	fmt.Fprintln(w, ":")
	for i, t := range s.Turns {
		if i == mostTold && len(s.Turns) > mostTold+1 {
			fmt.Fprintf(w, "  and %d more\n", len(s.Turns)-mostTold)
			break
		}
		printLine(w, "  ", say.OfTask(t.Title, t.Name), "  ["+t.Task+"]")
	}
	fmt.Fprintln(w, more)
}

// printTasks writes tasks a line each, and counts those beyond mostPast.
func printTasks(w io.Writer, dues []day.Due, today record.Date) {
	for i, d := range dues {
		if i == mostPast && len(dues) > mostPast+1 {
			fmt.Fprintf(w, "  and %d more: `limekeep due --all`\n", len(dues)-mostPast)
			return
		}
		printLine(w, fmt.Sprintf("  %-20s  ", sittingText(d)), d.Title, "  ["+d.Task+"]", ", likely "+likelyText(d, today))
	}
}

// shortList joins words, and counts those beyond mostTold.
func shortList(words []string) string {
	if len(words) > mostTold+1 {
		return fmt.Sprintf("%s; and %d more", strings.Join(words[:mostTold], "; "), len(words)-mostTold)
	}
	return strings.Join(words, "; ")
}
