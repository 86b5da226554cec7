package boxfill_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"
)

// readFacts returns the rows of a table of facts, each by its column names.
func readFacts(t testing.TB, name string) []map[string]string {
	t.Helper()
	file, err := os.Open("testdata/facts/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	records, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, record := range records[1:] {
		row := map[string]string{}
		for i, field := range record {
			row[records[0][i]] = field
		}
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		t.Fatalf("%s has no rows", name)
	}
	return rows
}

// sure reports whether a fact is an oracle at all.
func sure(row map[string]string) bool {
	return row["confidence"] == "high" || row["confidence"] == "medium"
}

func atoi(t testing.TB, text string) int {
	t.Helper()
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
