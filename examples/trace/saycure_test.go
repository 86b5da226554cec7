package main

import "testing"

// One is not many.
func TestBehaving(t *testing.T) {
	for n, want := range map[int]string{1: "1 more that behaves alike", 2: "2 more that behave alike", 22: "22 more that behave alike"} {
		if got := behaving(n); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}
