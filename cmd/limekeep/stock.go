package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"limekeep/schedule/day"
	"limekeep/schedule/record"
	"limekeep/water/figure"
)

func newStock(a *app) *cobra.Command {
	cmd := a.answers(&cobra.Command{
		Use:   "stock",
		Short: "Parts and consumables: what is there, and what to order by when",
		Long: `Lists the parts and consumables that the tasks use up; tools stand with each task. What you count goes down by one with
each service that uses it, and is ordered in time for the sitting that would be without it; what
you never counted is only listed.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.foreseeEach(cmd, func(f *day.Forecast) error {
				return printRows(cmd, a, f.Stock(), "", "THERE\tPLANNED TURNS\tNEEDED BY\tORDER BY\tITEM", func(s day.StockInfo) string {
					there, need, by := "not counted", "-", "-"
					if s.Counted {
						there = fmt.Sprint(s.Count)
					}
					if s.Need != nil {
						need = s.Need.String()
					}
					if s.OrderBy != nil {
						by = fmt.Sprintf("%s (%s)", s.OrderBy, figure.Exact(s.Short))
					}
					return fmt.Sprintf("%s\t%d\t%s\t%s\t%s", there, s.Turns, need, by, s.Item)
				})
			})
		},
	})
	cmd.AddCommand(
		newStockSet(a, "set ITEM COUNT", "Write down how many there are; one is what one turn of a task uses up", func(s *record.Stock, x float64) { s.Count = &x }),
		newStockSet(a, "came ITEM COUNT", "Write down a delivery", func(s *record.Stock, x float64) { s.Came = x }),
		newStockSet(a, "lead ITEM DAYS", "Write down how many days an order takes", func(s *record.Stock, x float64) { s.LeadDays = &x }),
	)
	return cmd
}
