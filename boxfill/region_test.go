package boxfill_test

import (
	"strings"
	"sync"
	"testing"

	"example.com/switchleg/boxfill"
	"example.com/switchleg/conductor/quantity"
	"example.com/switchleg/conductor/rules"
)

// loaded keeps the regions that tests have asked for.
var loaded sync.Map

// region returns the table of a region as its rule file has it.
func region(t testing.TB, name string) *boxfill.Table {
	t.Helper()
	if table, ok := loaded.Load(name); ok {
		return table.(*boxfill.Table)
	}
	r, err := rules.Load(name)
	if err != nil {
		t.Fatal(err)
	}
	loaded.Store(name, &r.Box)
	return &r.Box
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
		shape := strings.Split(row["shape"], "_")
		for _, b := range table.Boxes {
			sameShape := b.Shape == shape[0] || b.Shape == "octagon" && shape[0] == "round"
			if b.Shape == "FS" || b.Shape == "FD" {
				sameShape = sameShape && strings.Contains(b.Name, shape[1]) // single or multi
			}
			if sameShape && b.Width == dimension("width_in") && b.Second == dimension("second_in") && b.Depth == dimension("depth_in") {
				return b.Name
			}
		}
	}
	t.Fatalf("%s has no box %s", table.Region, id)
	return ""
}
