package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"limekeep/schedule"
	"limekeep/schedule/record"
	"limekeep/store"
)

// mostBackups is how many backups stay in a folder unless somebody asks for another
// number: two weeks of one a day.
const mostBackups = 14

func newBackup(a *app) *cobra.Command {
	var command string
	keep := mostBackups
	cmd := &cobra.Command{
		Use:   "backup [FILE or FOLDER]",
		Short: "Copy the records into one file, while others read and write them",
		Long: `Copies all records into one file that is whole: into a new FILE, into a FOLDER under a name with the
time, where the oldest are taken away beyond --keep, or to the standard input of a command. Each
copy is looked over before it counts. "limekeep serve" does so by itself with --backup-at.`,
		Example: `  limekeep backup /media/stick
  limekeep backup kitchen.db
  limekeep backup --to 'age -r age1... > /media/stick/kitchen.db.age'`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			b := backups{command: command, keep: keep, now: time.Now}
			switch {
			case len(args) == 1 && command != "", len(args) == 0 && command == "":
				return errors.New("backup: give a file, a folder, or a command with --to")
			case len(args) == 1:
				b.target = args[0]
			}
			if keep < 1 {
				return &record.FieldError{Field: "--keep", Value: fmt.Sprint(keep), Want: "1 or more"}
			}
			return a.askHouse(cmd, func(ctx context.Context, h *house, _ schedule.Moment) error {
				said, err := b.make(ctx, h.db)
				if err != nil {
					return err
				}
				fmt.Fprintln(cmd.OutOrStdout(), said)
				return nil
			})
		},
	}
	cmd.Flags().StringVar(&command, "to", "", "command whose standard input gets the copy; it is run by sh")
	cmd.Flags().IntVar(&keep, "keep", mostBackups, "how many stay in a folder")
	return cmd
}

// backups says where copies of the records go.
type backups struct {
	target  string // a new file or a folder
	command string // whose standard input gets it, where there is no target
	keep    int    // in a folder
	now     func() time.Time
}

// make makes one copy, and says what became of it.
func (b backups) make(ctx context.Context, db *store.DB) (string, error) {
	if b.command != "" {
		return b.hand(ctx, db)
	}
	info, err := os.Stat(b.target)
	if err != nil || !info.IsDir() {
		return fmt.Sprintf("%s: the records are copied and looked over", b.target), copyAndLook(ctx, db, b.target)
	}
	path := filepath.Join(b.target, "limekeep-"+b.now().UTC().Format("20060102-150405")+".db")
	if err := copyAndLook(ctx, db, path); err != nil {
		return "", err
	}
	gone, err := b.rotate()
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%s: the records are copied and looked over; older copies taken away: %d", path, gone), nil
}

// copyAndLook copies the records into a new file and looks it over; one that is not
// sound does not stay.
func copyAndLook(ctx context.Context, db *store.DB, path string) error {
	if err := db.Backup(ctx, path); err != nil {
		return err
	}
	err := store.CheckFile(ctx, path)
	if err == nil {
		return nil
	}
	if errors.Is(err, store.ErrDamaged) {
		err = fmt.Errorf("the copy is not sound and was taken away; look at the records with \"limekeep check --full\": %w", err)
	} else {
		err = fmt.Errorf("the copy could not be looked over and was taken away: %w", err)
	}
	return errors.Join(err, os.Remove(path))
}

// ownBackup is what the copies in a folder are called, ownPartial those that were never
// finished: nothing else there is touched.
var (
	ownBackup  = regexp.MustCompile(`^limekeep-\d{8}-\d{6}\.db$`)
	ownPartial = regexp.MustCompile(`^limekeep-\d{8}-\d{6}\.db\.\d+\.partial$`)
)

// partialLasts is how old a copy is that nobody is at work on any more (assumption).
const partialLasts = time.Hour

// rotate takes the oldest copies in the folder away, and returns how many.
func (b backups) rotate() (int, error) {
	entries, err := os.ReadDir(b.target)
	if err != nil {
		return 0, err
	}
	var names []string
	for _, e := range entries {
		switch {
		case !e.Type().IsRegular():
		case ownBackup.MatchString(e.Name()):
			names = append(names, e.Name())
		case ownPartial.MatchString(e.Name()):
			if info, err := e.Info(); err == nil && b.now().Sub(info.ModTime()) > partialLasts {
				_ = os.Remove(filepath.Join(b.target, e.Name())) // looked at again the next time
			}
		}
	}
	slices.Sort(names) // by time
	gone := 0
	for len(names) > b.keep {
		if err := os.Remove(filepath.Join(b.target, names[0])); err != nil {
			return gone, err
		}
		names = names[1:]
		gone++
	}
	return gone, nil
}

// hand gives a copy to the standard input of a command.
func (b backups) hand(ctx context.Context, db *store.DB) (string, error) {
	folder, err := os.MkdirTemp("", "limekeep-backup-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(folder)
	path := filepath.Join(folder, "records.db")
	if err := copyAndLook(ctx, db, path); err != nil {
		return "", err
	}
	file, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer file.Close()
	command := exec.CommandContext(ctx, "sh", "-c", b.command) //nolint:gosec // it is the owner's own command
	command.Stdin, command.Stdout, command.Stderr = file, io.Discard, os.Stderr
	command.WaitDelay = 5 * time.Second
	if err := command.Run(); err != nil {
		return "", fmt.Errorf("--to: the command did not take the copy: %w", err)
	}
	return "the records are copied, looked over and handed to the command", nil
}
