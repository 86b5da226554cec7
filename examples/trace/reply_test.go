package main

import (
	"strings"
	"testing"

	"example.com/switchleg/conductor/quantity"
)

// What is typed as an answer, and what it is taken for.
func TestReadReply(t *testing.T) {
	for _, row := range []struct {
		line string
		want reply
		ok   bool
		says string
	}{
		{"2", reply{number: 2}, true, ""},
		{"2 sure 70%", reply{number: 2, sure: 7 * quantity.Whole / 10}, true, ""},
		{"2 sure 70 %", reply{number: 2, sure: 7 * quantity.Whole / 10}, true, ""},
		{"118V", reply{volts: 118 * quantity.Volt}, true, ""},
		{"118 V sure 50%", reply{volts: 118 * quantity.Volt, sure: quantity.Whole / 2}, true, ""},
		{"0V", reply{}, true, ""},
		{"see lamp=lit", reply{}, false, ""},
		{"", reply{}, false, ""},
		{"0", reply{}, true, "is no answer"},
		{"2 maybe", reply{}, true, "is no answer"},
		{"2 sure", reply{}, true, "how sure is missing"},
		{"2 sure 0%", reply{}, true, "above 0 %"},
		{"2 sure 140%", reply{}, true, "at most"},
		{"99999999999999999999", reply{}, true, "is no answer"},
	} {
		got, ok, err := readReply(row.line)
		if ok != row.ok || (err == nil) != (row.says == "") || err != nil && !strings.Contains(err.Error(), row.says) || err == nil && got != row.want {
			t.Errorf("%q: %+v, %v, %v; want %+v, %v, %q", row.line, got, ok, err, row.want, row.ok, row.says)
		}
	}
}
