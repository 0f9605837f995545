// Runs a reader over calendars: the files named on the command line and those in
// the folders named there, or standard input where none is. Writes one line of
// JSON for each. Whatever the library remarks on ends the run with a failure.
import { readFileSync, readdirSync, statSync } from "node:fs";
import { basename, join } from "node:path";

export function each(read) {
  const remarks = [];
  let file = "-";
  for (const level of ["warn", "error", "log", "info", "debug"]) {
    console[level] = (...words) => remarks.push(`${file}: ${words.join(" ")}`);
  }
  process.on("warning", (warning) => remarks.push(`${file}: ${warning}`));
  const named = process.argv.slice(2);
  const files = named.flatMap((name) => (statSync(name).isDirectory() ? readdirSync(name).sort().map((f) => join(name, f)) : [name]));
  const lines = (named.length > 0 ? files : [0]).map((from) => {
    file = from === 0 ? "-" : basename(from);
    try {
      return JSON.stringify({ file, ...read(readFileSync(from, "utf8")) });
    } catch (error) {
      remarks.push(`${file}: ${error.stack}`);
      return "";
    }
  });
  setImmediate(() => {
    if (remarks.length > 0) {
      process.stderr.write(remarks.join("\n") + "\n");
      process.exitCode = 1;
      return;
    }
    process.stdout.write(lines.join("\n") + "\n");
  });
}

// instant writes a JavaScript date in UTC, to the second.
export const instant = (date) => date.toISOString().replace(/\.\d+Z$/, "Z");
