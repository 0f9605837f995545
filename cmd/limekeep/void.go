package main

import (
	"context"
	"strconv"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
)

func newVoid(a *app) *cobra.Command {
	var reason string
	cmd := &cobra.Command{
		Use:   "void RECORD",
		Short: "Write down that a record was wrong from the start",
		Long:  "Voids a record by its number, as \"limekeep history\" shows it. The record stays and is marked;\nnothing is worked out from it any more.",
		Args:  cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			id, err := strconv.ParseInt(args[0], 10, 64)
			if err != nil {
				return &record.FieldError{Field: "record", Value: args[0], Want: "the number of a record, as `limekeep history` shows it"}
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, m schedule.Moment) error {
				if target, err := h.days.Records.Find(ctx, id); err == nil && schedule.IsDistrictBook(target.Place) {
					written, err := h.journal.VoidDistrictTest(ctx, id, reason)
					return a.written(cmd, written, err)
				}
				d, err := h.openOf(ctx, m, id)
				if err != nil {
					return err
				}
				written, err := h.journal.Void(ctx, d, id, reason)
				return a.written(cmd, written, err)
			})
		},
	}
	cmd.Flags().StringVar(&reason, "why", "", "why it was wrong")
	return a.answers(cmd)
}
