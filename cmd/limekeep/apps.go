package main

import "github.com/spf13/cobra"

func newApps(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "apps",
		Short: "Passwords that let task apps in",
		Long: `Task apps that speak CalDAV show the tasks as to-dos while "limekeep serve" runs. Each app gets a
password of its own, so that one alone can be shut out.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(newAppsAdd(a), newAppsList(a), newAppsRevoke(a))
	return cmd
}
