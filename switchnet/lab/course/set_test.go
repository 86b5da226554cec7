package course_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

// seen notes the seeds that a task is made with.
type seen struct {
	lab.Task
	seeds *[]lab.Seed
}

func (s seen) Make(ctx context.Context, base lab.Base, seed lab.Seed, want lab.Band) (lab.Exercise, error) {
	*s.seeds = append(*s.seeds, seed)
	return s.Task.Make(ctx, base, seed, want)
}

func setOf(tb testing.TB, src string, opt *course.Options, secret course.Secret, students []course.Student) *course.Set {
	tb.Helper()
	f, err := course.Parse("exercise.yaml", []byte(src), opt)
	if err != nil {
		tb.Fatal(err)
	}
	base, err := f.Base(context.Background(), nil)
	if err != nil {
		tb.Fatal(err)
	}
	set, err := course.Make(context.Background(), f, base, secret, students, nil)
	if err != nil {
		tb.Fatal(err)
	}
	return set
}

// TestPrintedAgain wants the same papers from the same file, list and secret, others from
// another secret or seed, and sheet numbers that tell nothing of the variant and are
// void when the paper is another.
func TestPrintedAgain(t *testing.T) {
	print := func(src string, secret course.Secret) (pages, sheets string) {
		set := setOf(t, src, nil, secret, class(4))
		var b, n strings.Builder
		for i := range set.Papers {
			page, err := set.Papers[i].SheetHTML()
			if err != nil {
				t.Fatal(err)
			}
			b.Write(page)
			b.Write(set.Papers[i].SheetText())
			n.WriteString(set.Papers[i].Sheet + " ")
		}
		return b.String(), n.String()
	}
	src := strings.Replace(least, "predict size", "predict lights", 1)
	first, sheets := print(src, drawn(t, 1))
	if again, _ := print(src, drawn(t, 1)); again != first {
		t.Error("not the same the second time")
	}
	for why, row := range map[string]struct {
		src    string
		secret course.Secret
	}{"another secret": {src, drawn(t, 2)}, "another seed": {src + "seed: 5\n", drawn(t, 1)}} {
		if other, numbers := print(row.src, row.secret); other == first || numbers == sheets {
			t.Errorf("%s makes the same", why)
		}
	}
	// Marks and remarks may be changed after the papers were handed out.
	if _, numbers := print(strings.Replace(src, "marks: 5", "marks: 7", 1), drawn(t, 1)); numbers != sheets {
		t.Error("other marks make other sheet numbers, though the sheets say the same")
	}
	// Two with one variant have numbers that have nothing in common.
	set := setOf(t, strings.Replace(src, "variants: 3", "variants: 1", 1), nil, drawn(t, 1), class(2))
	if a, b := set.Papers[0].Sheet, set.Papers[1].Sheet; a == b || a[:3] == b[:3] {
		t.Errorf("of one variant: %s, %s", a, b)
	}
}

// TestSheetsGiveNothingAway searches all that students get, of every task, for the secret,
// for every seed in every way that it is written, for the number of a variant, and for
// answers that are not there to choose from.
func TestSheetsGiveNothingAway(t *testing.T) {
	var seeds []lab.Seed
	opt := &course.Options{Names: lab.Names(), Task: func(name string) (lab.Task, bool) {
		task, ok := lab.Lookup(name)
		return seen{task, &seeds}, ok
	}}
	src := "format: 1\ntitle: All\nregion: us-2023\nseed: 918273645\nvariants: 3\nbase: {places: 2 to 3, lights: 1}\ntasks:\n"
	for _, n := range lab.Names() {
		src += "  - {task: " + n + ", marks: 3}\n"
	}
	secret := drawn(t, 0xa7)
	set := setOf(t, src, opt, secret, class(7))
	words := []string{strings.TrimSpace(string(secret.Text())), "a7a7a7a7", "918273645", "variant", "Variant"}
	if len(seeds) < 3*len(lab.Names()) {
		t.Fatalf("%d seeds were noted", len(seeds))
	}
	for _, s := range seeds {
		b := binary.LittleEndian.AppendUint64(nil, uint64(s))
		words = append(words, strconv.FormatUint(uint64(s), 10), strconv.FormatInt(int64(s), 10), fmt.Sprintf("%x", uint64(s)), fmt.Sprintf("%X", uint64(s)), string(b))
	}
	answers := 0
	for i := range set.Papers {
		p := &set.Papers[i]
		page, err := p.SheetHTML()
		if err != nil {
			t.Fatal(err)
		}
		given := map[string]string{"page": string(page), "text": string(p.SheetText()), "form": string(p.Form()), "name": p.Stem(), "number": p.Sheet}
		for k, x := range p.Variant.Exercises {
			s := x.Sheet()
			given[fmt.Sprintf("job %d", k+1)] = string(s.Job)
			for _, f := range s.Fields {
				if a := x.Key()[f.ID]; f.Choices == nil && len(a) >= 6 {
					answers++
					words = append(words, a)
				}
			}
		}
		for what, text := range given {
			for _, w := range words {
				if strings.Contains(text, w) {
					t.Errorf("%s of %s holds %q", what, p.Student, w)
				}
			}
		}
		if !strings.Contains(given["page"], lab.Supervised) || !strings.Contains(given["text"], "does not replace supervised practice") {
			t.Errorf("%s: the sheet does not say that it replaces no supervised practice", p.Student)
		}
	}
	// The search does find what is there: the key holds the answers.
	key, err := set.Papers[0].KeyHTML()
	if err != nil {
		t.Fatal(err)
	}
	if a := set.Papers[0].Variant.Exercises[0].Key(); !bytes.Contains(key, []byte(a[set.Papers[0].Variant.Exercises[0].Sheet().Fields[0].ID])) {
		t.Error("the key does not hold the answers")
	}
}

// TestAlikeIsSaid asks one job for more variants than it has, and a level that it has not.
func TestAlikeIsSaid(t *testing.T) {
	set := setOf(t, "format: 1\ntitle: T\nregion: us-2023\nbase: {places: 2, lights: 1, two gang: 0, feed: first place, light: last place}\nvariants: 40\ntasks: [{task: predict box fill, marks: 1}]\n", nil, drawn(t, 1), class(1))
	if len(set.Alike) == 1 && !strings.Contains(set.Alike[0], "variants are different") || len(set.Alike) > 1 {
		t.Errorf("%q", set.Alike)
	}
	f, err := course.Parse("x", []byte("format: 1\ntitle: T\nregion: us-2023\nbase: {places: 2}\nvariants: 2\ntasks:\n  - {task: predict size, marks: 1}\n  - {task: wire it, marks: 1, level: 900 to 901}\n"), nil)
	if err != nil {
		t.Fatal(err)
	}
	base, err := f.Base(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	var band *lab.BandError
	if _, err = course.Make(context.Background(), f, base, drawn(t, 1), class(2), nil); !errors.As(err, &band) || !strings.Contains(err.Error(), "x: task 2") {
		t.Errorf("%v", err)
	}
	if _, err = course.Make(context.Background(), f, base, course.Secret{}, class(2), nil); err == nil || !strings.Contains(err.Error(), "secret") {
		t.Errorf("without a secret: %v", err)
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err = course.Make(ended, f, base, drawn(t, 1), class(2), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("after the end: %v", err)
	}
}

// TestStems wants names of files that are plain, and no two alike.
func TestStems(t *testing.T) {
	students := []course.Student{{Name: "Ann Lee"}, {Name: "ann-lee"}, {Name: "../../etc/passwd"}, {Name: "Зоя"}, {Name: "CON"}, {Name: strings.Repeat("x", 100)}, {Name: "<b>"}}
	set := setOf(t, least, nil, drawn(t, 1), students)
	stems := map[string]bool{}
	for i, want := range []string{"001-ann-lee", "002-ann-lee", "003-etc-passwd", "004", "005-con", "006-" + strings.Repeat("x", 40), "007-b"} {
		got := set.Papers[i].Stem()
		if got != want || stems[got] {
			t.Errorf("%q: %q, want %q", students[i].Name, got, want)
		}
		stems[got] = true
	}
}

// TestLetters wants that a letter stands for its choice, in either case and with what
// people put after it, that words are taken as before, and that there are no letters where
// they could be taken for choices.
func TestLetters(t *testing.T) {
	p := &setOf(t, strings.Replace(least, "predict size", "predict lights", 1), nil, drawn(t, 1), class(1)).Papers[0]
	field := p.Variant.Exercises[0].Sheet().Fields[0]
	if !strings.Contains(string(p.Form()), "one of: a) "+field.Choices[0]+"; b) ") {
		t.Errorf("the form does not tell the letters:\n%s", p.Form())
	}
	for _, row := range []struct {
		said, want, why string
	}{
		{"b", field.Choices[1], "the letter"},
		{`" B) "`, field.Choices[1], "as it is printed, and in capitals"},
		{field.Choices[0], field.Choices[0], "the words"},
		{"z", "z", "no letter of a choice"},
		{`"  "`, "  ", "nothing"},
	} {
		got, err := p.ParseAnswers("x.yaml", []byte("sheet: "+strings.ToLower(p.Sheet)+"\nq1:\n  "+field.ID+": "+row.said+"\n"))
		if err != nil || got[0][field.ID] != row.want {
			t.Errorf("%s: %v, %v; want %q", row.why, got, err, row.want)
		}
	}
}

// BenchmarkMake makes six variants of every task for a class of 24.
func BenchmarkMake(b *testing.B) {
	f, err := course.Parse("x", []byte(all(6)), nil)
	if err != nil {
		b.Fatal(err)
	}
	base, err := f.Base(context.Background(), nil)
	if err != nil {
		b.Fatal(err)
	}
	secret := drawn(b, 1)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := course.Make(context.Background(), f, base, secret, class(24), nil); err != nil {
			b.Fatal(err)
		}
	}
}
