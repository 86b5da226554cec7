package boxfill_test

import (
	"strings"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
)

// region returns the table of a region.
func region(t testing.TB, name string) *boxfill.Table {
	t.Helper()
	switch name {
	case "us-2017":
		return us2017()
	case "us-2020":
		return us2020()
	case "us-2023":
		return us()
	}
	return canada()
}

// boxName returns the name in the table of the box that the facts give an id.
func boxName(t testing.TB, table *boxfill.Table, id string) string {
	t.Helper()
	for _, row := range readFacts(t, "us_box_volumes_metal.csv") {
		if row["box"] != id {
			continue
		}
		dimension := func(column string) quantity.Length {
			length, err := quantity.ParseLength(row[column] + " in")
			if err != nil {
				t.Fatal(err)
			}
			return length
		}
		for _, b := range table.Boxes {
			sameShape := strings.HasPrefix(row["shape"], "round") == (b.Second == 0)
			if sameShape && b.Width == dimension("width_in") && b.Second == dimension("second_in") && b.Depth == dimension("depth_in") {
				return b.Name
			}
		}
	}
	t.Fatalf("%s has no box %s", table.Region, id)
	return ""
}
