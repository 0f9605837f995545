package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"github.com/spf13/cobra"
)

// unitName is the name of the service that serves the pages.
const unitName = "limekeep.service"

// newServeInstall makes serving a service of the user's own.
func newServeInstall(_ *app) *cobra.Command {
	var dryRun, remove bool
	cmd := &cobra.Command{
		Use:   "install",
		Short: "Serve from now on, as a service of your own (systemd)",
		Long: `Writes a systemd unit of your own user and starts it, so that the pages are served from now on
and at each login. It reads the same settings as the commands: addresses and the rest go into
settings.yaml. Nothing needs the rights of an administrator; to be served before anybody has logged
in, "loginctl enable-linger" does. Where there is no systemd, it says what to run instead.`,
		Example: "  limekeep serve install --dry-run\n  limekeep serve install\n  limekeep serve install --remove",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			program, err := os.Executable()
			if err != nil {
				return err
			}
			if runtime.GOOS != "linux" {
				return fmt.Errorf("there is no systemd on %s: have %q run at login by what your system has for that", runtime.GOOS, program+" serve")
			}
			folder, err := os.UserConfigDir()
			if err != nil {
				return fmt.Errorf("there is no folder for units: %w", err)
			}
			path := filepath.Join(folder, "systemd", "user", unitName)
			out := cmd.OutOrStdout()
			if remove {
				return removeUnit(cmd.Context(), out, path, dryRun)
			}
			return installUnit(cmd.Context(), out, path, userUnit(program), dryRun)
		},
	}
	cmd.Flags().BoolVar(&dryRun, "dry-run", false, "print what would be done, and do nothing")
	cmd.Flags().BoolVar(&remove, "remove", false, "stop the service and remove its unit; records stay")
	return cmd
}

// userUnit returns the unit of a program, with what can be taken from it at no cost.
func userUnit(program string) string {
	quoted := `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, `%`, `%%`, `$`, `$$`).Replace(program) + `"`
	return `[Unit]
Description=Upkeep of the espresso machine: pages and calendar
Documentation=man:systemd.service(5)

[Service]
ExecStart=` + quoted + ` serve
Restart=on-failure
RestartSec=10
NoNewPrivileges=yes
LockPersonality=yes
MemoryDenyWriteExecute=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
RestrictAddressFamilies=AF_INET AF_INET6 AF_UNIX
SystemCallFilter=@system-service
UMask=0077

[Install]
WantedBy=default.target
`
}

func installUnit(ctx context.Context, out io.Writer, path, unit string, dryRun bool) error {
	fmt.Fprintf(out, "writes %s:\n\n%s\n", path, unit)
	if !dryRun {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil { //nolint:gosec // a folder of units is read by systemd
			return err
		}
		if err := os.WriteFile(path, []byte(unit), 0o644); err != nil { //nolint:gosec // it holds no secret
			return err
		}
	}
	for _, args := range [][]string{{"daemon-reload"}, {"enable", "--now", unitName}} {
		if err := systemctl(ctx, out, dryRun, args...); err != nil {
			return err
		}
	}
	if !dryRun {
		fmt.Fprintf(out, "The pages are at http://%s/. `systemctl --user status %s` says how it is, `limekeep serve install --remove` undoes all this.\n", preferredAddress, unitName)
	}
	return nil
}

func removeUnit(ctx context.Context, out io.Writer, path string, dryRun bool) error {
	if err := systemctl(ctx, out, dryRun, "disable", "--now", unitName); err != nil {
		return err
	}
	fmt.Fprintf(out, "removes %s\n", path)
	if !dryRun {
		if err := os.Remove(path); err != nil {
			return err
		}
	}
	return systemctl(ctx, out, dryRun, "daemon-reload")
}

func systemctl(ctx context.Context, out io.Writer, dryRun bool, args ...string) error {
	fmt.Fprintln(out, "runs systemctl --user "+strings.Join(args, " "))
	if dryRun {
		return nil
	}
	said, err := exec.CommandContext(ctx, "systemctl", append([]string{"--user"}, args...)...).CombinedOutput()
	if err != nil {
		return fmt.Errorf("systemctl --user %s: %w: %s; run `limekeep serve` by hand where there is no systemd", strings.Join(args, " "), err, strings.TrimSpace(string(said)))
	}
	return nil
}
