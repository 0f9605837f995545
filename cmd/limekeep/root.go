package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/viper"

	"limekeep/schedule"
	"limekeep/schedule/day"
)

// app is what the commands share: the settings.
type app struct {
	settings *viper.Viper
	asJSON   bool
	typed    bool // whether --data was given by hand
	begins   bool // whether the command may begin a file of records
	awaits   bool // whether it may begin one where no name was given by hand

	// over lays something over the records before they are read; nil for nothing.
	over func(schedule.Records) schedule.Records
}

// begins are the commands that may begin a file of records.
var begins = map[string]bool{"limekeep setup": true, "limekeep fleet setup": true, "limekeep import": true, "limekeep demo": true}

// awaits are the commands that wait for a place to be set up, or are run before: a service
// begins its records by them.
var awaits = map[string]bool{"limekeep serve": true, "limekeep password set": true}

// newRoot makes the command with all its subcommands.
func newRoot() *cobra.Command { return rootOf(&app{settings: viper.New()}) }

func rootOf(a *app) *cobra.Command {
	root := &cobra.Command{
		Use:           "limekeep",
		Short:         "Upkeep for an espresso machine, its grinder and its water",
		Long:          "limekeep works out from your own water, use and services when each piece of care of an\nespresso machine, its grinder and its water falls due, and puts it in your calendar.",
		Version:       thisVersion().String(),
		SilenceUsage:  true,
		SilenceErrors: true,
		PersistentPreRunE: func(cmd *cobra.Command, _ []string) error {
			path := cmd.CommandPath()
			a.begins, a.awaits, a.typed = begins[path], awaits[path], cmd.Flags().Changed("data")
			return a.load(cmd)
		},
	}
	root.SetVersionTemplate("{{.Version}}")
	root.SetFlagErrorFunc(nearFlag)
	flags := root.PersistentFlags()
	flags.String("data", "", "file that keeps the records (default: in your data folder), or postgres://… for a PostgreSQL server")
	flags.String("today", "", "take this day for today, such as 2026-03-31 (default: today at the place)")
	flags.String("place", "", "id of the place, where the records hold more than one; due, next, plan, stock, calendar and visit take several, parted by commas, and all of them by \"all\"")
	flags.String("settings", "", "file of settings (default: settings.yaml in your configuration folder)")
	flags.Int("worlds", day.DefaultWorlds, "how many worlds a forecast draws")
	flags.Int("effort", 0, "how many steps the search for a plan may take (default: a few hundredths of a second)")
	flags.Int("months", day.DefaultPlanMonths, "how many months are planned")
	flags.String("busy", "", "calendar file (.ics) of your own; no sitting is planned where it is busy")
	flags.String("round", "", "file that says how your rounds go: days, travel, hours of the places")
	flags.Bool("routine", false, "show the daily routine in the calendar, as one entry that recurs")
	root.AddCommand(
		newSetup(a), newWater(a), newUse(a), newAway(a), newDone(a), newVoid(a),
		newDue(a), newNext(a), newWhy(a), newTasks(a), newSteps(a), newMeasure(a), newDescale(a), newHistory(a), newScore(a), newCalendar(a),
		newPlan(a), newMove(a), newBlock(a), newStock(a), newRound(a), newVan(a), newFleet(a), newVisit(a), newReports(a),
		newServe(a), newReplan(a), newJobs(a), newPassword(a), newPeople(a), newApps(a), newBackup(a), newRestore(a), newCheck(a), newExport(a), newImport(a), newCopy(a), newDemo(a), newVersion(a),
	)
	addExamples(root)
	return root
}

// answers marks a command as one that answers a question, which can do so in
// JSON.
func (a *app) answers(cmd *cobra.Command) *cobra.Command {
	cmd.Flags().BoolVar(&a.asJSON, "json", false, "answer in JSON")
	return cmd
}
