package store

import "testing"

// Parameters are numbered in the order in which they stand, or as they say, and texts
// are left alone. SQLite, expressions, 4: "?" and "?NNN"; PostgreSQL, 4.2.2: "$NNN".
func TestDollars(t *testing.T) {
	for query, want := range map[string]string{
		"SELECT 1":                               "SELECT 1",
		"SELECT ?, ?, ?":                         "SELECT $1, $2, $3",
		"INSERT INTO t VALUES (?1, ?2, ?2, ?12)": "INSERT INTO t VALUES ($1, $2, $2, $12)",
		"SELECT '?', 'it''s ?', ? FROM t WHERE a = '' AND b=?": "SELECT '?', 'it''s ?', $1 FROM t WHERE a = '' AND b=$2",
		"SELECT $1": "SELECT $1",
	} {
		if got := dollars(query); got != want {
			t.Errorf("%s is written %s, want %s", query, got, want)
		}
	}
}
