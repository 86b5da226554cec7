package main

import (
	"bytes"
	"context"
	"math/big"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/switchleg/internal/demo"
	"example.com/switchleg/internal/golden"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/internal/programtest"
)

func TestMain(m *testing.M) { programtest.Main(m, "prove", main) }

// mistakes are copies of the boat shed with one thing done wrong.
var mistakes = map[string][]string{
	"shed.yaml": nil,
	// At the yard door one traveler of each side is exchanged for the other.
	"crossed.yaml": {
		"{box: yard-door, device: aisle, terminal: pair 1 second, wire: C3.blue}", "{box: yard-door, device: aisle, terminal: pair 1 second, wire: C4.red}",
		"{box: yard-door, device: aisle, terminal: pair 2 first, wire: C4.red}", "{box: yard-door, device: aisle, terminal: pair 2 first, wire: C3.blue}",
	},
	// The floodlight hangs on the unswitched hot, and its switch opens the neutral.
	"neutral.yaml": {
		"{box: slip-door, join: [C2.black, C3.black, slipway.line]}", "{box: slip-door, join: [C2.black, C3.black, C12.black]}",
		"{box: slip-door, join: [C2.white, C3.white, C12.white]}", "{box: slip-door, join: [C2.white, C3.white, slipway.line]}",
		"{box: slip-door, device: slipway, terminal: load, wire: C12.black}", "{box: slip-door, device: slipway, terminal: load, wire: C12.white}",
	},
	// The neutral is landed on the load screw of the floodlight's switch as well.
	"short.yaml": {
		"{box: slip-door, join: [C2.white, C3.white, C12.white]}", "{box: slip-door, join: [C2.white, C3.white, C12.white, slipway.load]}",
		"  - {box: slip-door, device: slipway, terminal: load, wire: C12.black}\n", "",
	},
}

func shed(t *testing.T, name string) string {
	t.Helper()
	text := string(demo.ShedWired())
	for i := 0; i < len(mistakes[name]); i += 2 {
		old := mistakes[name][i]
		if strings.Count(text, old) != 1 {
			t.Fatalf("%s: %q stands %d times in the file", name, old, strings.Count(text, old))
		}
		text = strings.Replace(text, old, mistakes[name][i+1], 1)
	}
	return text
}

func TestScripts(t *testing.T) {
	files := map[string]string{}
	for name := range mistakes {
		files[name] = shed(t, name)
	}
	programtest.Scripts(t, files)
}

// TestShed holds what is said of the boat shed and of what was done wrong in it.
func TestShed(t *testing.T) {
	dir := t.TempDir()
	for _, g := range []struct {
		golden, file string
		args         []string
		exit         int
	}{
		{"shed.txt", "shed.yaml", []string{"-transit"}, program.Answered},
		{"crossed.txt", "crossed.yaml", nil, program.Fails},
		{"crossed.json", "crossed.yaml", []string{"-json", "-exceptions", "1"}, program.Fails},
		{"neutral.txt", "neutral.yaml", nil, program.Fails},
		{"short.txt", "short.yaml", nil, program.Fails},
	} {
		path := filepath.Join(dir, g.file)
		if err := os.WriteFile(path, []byte(shed(t, g.file)), 0o644); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		if code := run(context.Background(), append(g.args, "-job", path), &out, &errs); code != g.exit {
			t.Fatalf("%s: exit %d, want %d: %s", g.file, code, g.exit, errs.String())
		}
		golden.Compare(t, filepath.Join("testdata", g.golden), out.Bytes())
	}
}

func TestShort(t *testing.T) {
	two := func(n uint) *big.Int { return new(big.Int).Lsh(big.NewInt(1), n) }
	for _, r := range []struct {
		n    *big.Int
		want string
		why  string
	}{
		{big.NewInt(0), "0", "nothing"},
		{big.NewInt(1234567), "1,234,567", "a number to be read"},
		{two(49), "562,949,953,421,312", "the largest power of two that is written out"},
		{two(100000), "2^100000", "a power of two"},
		{new(big.Int).Sub(two(100), big.NewInt(1)), "about 1.2676 x 10^30", "no power of two"},
	} {
		if got := short(r.n); got != r.want {
			t.Errorf("%s: %q, want %q", r.why, got, r.want)
		}
	}
}
