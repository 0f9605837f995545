#!/usr/bin/env bash
# Walks through a collection of to-dos with SyncEvolution, which keeps it in step with
# a folder: a first synchronisation, then one to-do ticked off, one moved, one deleted
# in the folder, and two synchronisations more. Writes how many the folder had after
# the first, and after each of the others the UIDs that it has. It runs in a session
# bus of its own.
set -euo pipefail
url=$1 user=$2 password=$3 ticked=$4 moved=$5 deleted=$6 folder=$7
mkdir -p "$folder"
run() { # its words go to where errors go; a failure ends the walk
	syncevolution --daemon=no --keyring=no "$@" >&2
}
holding() { grep -lE "^UID:$1"$'\r?$' "$folder"/*; }

run --configure --template webdav syncURL="$url" username="$user" password="$password" backend=caldavtodo target-config@care todo
run --configure --template SyncEvolution_Client syncURL=local://@care username= password= sync=two-way \
	backend=file "database=file://$folder" databaseFormat=text/calendar care todo
run --sync slow care todo
ls "$folder" | wc -l

sed -i 's/^STATUS:NEEDS-ACTION/STATUS:COMPLETED/' "$(holding "$ticked")"
sed -i -E 's/^(DUE[^:]*):2[0-9]{3}/\1:2099/' "$(holding "$moved")"
rm "$(holding "$deleted")"
for _ in 1 2; do
	run care todo
	sed -nE 's/^UID:([^\r]*)\r?$/\1/p' "$folder"/* | sort | tr '\n' ' '
	echo
	sleep 3 # until the plan that follows has gone out
done
