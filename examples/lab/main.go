// Lab sets exercises on real wiring logic for a class and marks them. Everything lies in one
// folder.
//
//	go run ./examples/lab new -dir DIR            begin: an exercise file, a class list and a secret
//	go run ./examples/lab sheets -dir DIR         sheets/ for the students, key/ for you
//	go run ./examples/lab practice -dir DIR -student NAME -question 2   practice wiring at the terminal
//	go run ./examples/lab mark -dir DIR           marks answers/ and practice/ into marks.csv
//	go run ./examples/lab stats -dir DIR          how hard the variants are; what the class confused
//
// In DIR: exercise.yaml says what is asked, class.csv who sits where, secret.txt makes the
// papers and is for nobody's eyes. A student fills in sheets/001-NAME.yaml and hands it in
// as answers/001-NAME.yaml; what was done at the practice wiring is kept in
// practice/001-NAME-qN.log.
//
// Exit status: 0 it is done; 1 a file is wrong, and what is wrong where is said; 2 the
// program was called the wrong way; 3 some answers could not be marked, and marks.csv says
// which; 4 it was stopped.
//
// Practice on paper or on a screen does not replace supervised practice on real wiring.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/program"
	"example.com/switchleg/switchnet/lab"
	"example.com/switchleg/switchnet/lab/course"
)

func main() {
	program.Main(func(ctx context.Context, args []string, out, errs io.Writer) int {
		return run(ctx, args, os.Stdin, out, errs)
	})
}

const usage = `Usage: lab new -dir DIR
       lab sheets -dir DIR
       lab practice -dir DIR -student NAME [-question N]
       lab mark -dir DIR
       lab stats -dir DIR

Sets exercises for a class, offers practice wiring, and marks what comes back. In
DIR: exercise.yaml, class.csv, secret.txt; sheets/ and key/ are written, answers/
and practice/ are read, marks.csv is the mark book.

Practice on paper or on a screen does not replace supervised practice.
Exit status: 0 it is done, 1 or 2 a file or the call is wrong, 3 some answers
could not be marked, 4 it was stopped.

`

// call is what the command line asks for.
type call struct {
	verb, dir, student string
	question           int
	in                 io.Reader
	out, errs          io.Writer
}

func verbs() []string { return []string{"new", "sheets", "practice", "mark", "stats"} }

func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer) int {
	c := call{in: in, out: out, errs: errs}
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") {
		c.verb, args = args[0], args[1:]
	}
	p := program.New("lab", usage, errs)
	p.Flags.StringVar(&c.dir, "dir", "", "the `FOLDER` of the exercise")
	p.Flags.StringVar(&c.student, "student", "", "practice: the `NAME` of the student, as in the class list")
	p.Flags.IntVar(&c.question, "question", 1, "practice: the `NUMBER` of the question")
	if status, ok := p.Parse(args); !ok {
		return status
	}
	var m program.Mistakes
	p.NoOperands(&m)
	switch {
	case c.verb == "":
		m.Add("", "say what to do: %s", strings.Join(verbs(), ", "))
	case !slices.Contains(verbs(), c.verb):
		m.Add("", "%q is nothing that can be done; there are %s", c.verb, strings.Join(verbs(), ", "))
	}
	if c.dir == "" {
		m.Add("dir", "name the folder of the exercise")
	}
	if (c.student != "") != (c.verb == "practice") {
		m.Add("student", "practice, and nothing else, is for one student; give -student NAME with it")
	}
	err := m.Err()
	status := program.Answered
	if err == nil {
		status, err = c.do(ctx)
	}
	if err != nil {
		return p.Fail(err)
	}
	return status
}

func (c *call) do(ctx context.Context) (int, error) {
	switch c.verb {
	case "new":
		return program.Answered, c.begin()
	case "sheets":
		return program.Answered, c.sheets(ctx)
	case "practice":
		return program.Answered, c.practice(ctx)
	case "mark":
		return c.mark(ctx)
	}
	return program.Answered, c.stats(ctx)
}

func (c *call) file(parts ...string) string {
	return filepath.Join(append([]string{c.dir}, parts...)...)
}

// begin writes the files to begin with, and touches none that is there.
func (c *call) begin() error {
	if err := os.MkdirAll(c.dir, 0o755); err != nil {
		return err
	}
	secret, err := newSecret()
	if err != nil {
		return err
	}
	var list strings.Builder
	list.WriteString("name\n")
	for i := range 24 {
		fmt.Fprintf(&list, "Student %d\n", i+1)
	}
	files := []struct {
		name, text string
		mode       os.FileMode
	}{
		{"exercise.yaml", string(course.Starter()), 0o644},
		{"class.csv", list.String(), 0o644},
		{"secret.txt", string(secret.Text()), 0o600},
	}
	for _, f := range files {
		w, err := os.OpenFile(c.file(f.name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, f.mode)
		if errors.Is(err, os.ErrExist) {
			fmt.Fprintf(c.out, "%s is there already and stays as it is.\n", f.name)
			continue
		}
		if err != nil {
			return err
		}
		_, err = io.WriteString(w, f.text)
		if err = errors.Join(err, w.Close()); err != nil {
			return err
		}
		fmt.Fprintf(c.out, "%s written.\n", f.name)
	}
	fmt.Fprintf(c.out, "\nWrite your class into class.csv, change exercise.yaml to your liking, then:\n  lab sheets -dir %s\nKeep secret.txt from the students: who has it can make the key.\n%s\n", c.dir, lab.Supervised)
	return nil
}

// read reads the folder, all that is wrong with it at once, and makes the papers.
func (c *call) read(ctx context.Context) (*course.Set, []course.Student, error) {
	var file *course.File
	var class []course.Student
	var secret course.Secret
	var errs []error
	note := func(err error) bool {
		if err != nil {
			errs = append(errs, err)
		}
		return err == nil
	}
	if text, err := os.ReadFile(c.file("exercise.yaml")); note(hint(err)) {
		file, err = course.Parse(c.file("exercise.yaml"), text, nil)
		note(err)
	}
	if text, err := os.ReadFile(c.file("class.csv")); note(hint(err)) {
		class, err = course.ParseClass(c.file("class.csv"), text)
		note(err)
	}
	if text, err := os.ReadFile(c.file("secret.txt")); note(hint(err)) {
		if secret, err = course.ParseSecret(text); err != nil {
			note(fmt.Errorf("%s: %w", c.file("secret.txt"), err))
		}
	}
	if len(errs) > 0 {
		return nil, nil, errors.Join(errs...)
	}
	base, err := file.Base(ctx, os.ReadFile)
	if err != nil {
		return nil, nil, err
	}
	began, last := time.Now(), time.Now()
	set, err := course.Make(ctx, file, base, secret, class, func(made, of int) {
		if now := time.Now(); now.Sub(began) > time.Second && now.Sub(last) > time.Second {
			last = now
			fmt.Fprintf(c.errs, "%d of %d exercises are made\n", made, of)
		}
	})
	if err != nil {
		return nil, nil, err
	}
	for _, n := range set.Alike {
		fmt.Fprintf(c.errs, "note: %s\n", n)
	}
	return set, class, nil
}

// hint adds to a missing file what makes it.
func hint(err error) error {
	if errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%w; lab new -dir FOLDER makes it", err)
	}
	return err
}

// sheets writes what the students get, and the key apart from it.
func (c *call) sheets(ctx context.Context) error {
	set, class, err := c.read(ctx)
	if err != nil {
		return err
	}
	// The key's folder is for its owner alone, whatever it was.
	if err := errors.Join(os.MkdirAll(c.file("key"), 0o700), os.Chmod(c.file("key"), 0o700)); err != nil {
		return err
	}
	now := map[string][]string{} // the files of each folder
	last := time.Now()
	for i := range set.Papers {
		if time.Since(last) > time.Second {
			last = time.Now()
			fmt.Fprintf(c.errs, "the sheets of %d of %d students are written\n", i, len(set.Papers))
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		student, key, err := files(&set.Papers[i])
		if err != nil {
			return err
		}
		for dir, all := range map[string][]atomicfile.File{"sheets": student, "key": key} {
			if err := atomicfile.WriteAll(c.file(dir), all); err != nil {
				return err
			}
			for _, f := range all {
				now[dir] = append(now[dir], f.Name)
			}
		}
	}
	for _, dir := range []string{"sheets", "key"} {
		if err := c.older(dir, now[dir]); err != nil {
			return err
		}
	}
	for _, dir := range []string{"answers", "practice"} {
		if err := os.MkdirAll(c.file(dir), 0o755); err != nil {
			return err
		}
	}
	fmt.Fprintf(c.out, "%d students, %d papers that differ: sheets are in %s, the key in %s.\n", len(class), len(set.Variants), c.file("sheets"), c.file("key"))
	fmt.Fprintf(c.out, "Print the pages. A student fills in the form that ends in .yaml; put it into %s\nunder the same name.\n%s\n", c.file("answers"), lab.Supervised)
	return nil
}

// files returns what a student gets, and what the instructor keeps of it.
func files(p *course.Paper) (student, key []atomicfile.File, err error) {
	page, err := p.SheetHTML()
	if err != nil {
		return nil, nil, err
	}
	keyPage, err := p.KeyHTML()
	if err != nil {
		return nil, nil, err
	}
	student = []atomicfile.File{{Name: p.Stem() + ".html", Data: page}, {Name: p.Stem() + ".txt", Data: p.SheetText()}, {Name: p.Stem() + ".yaml", Data: p.Form()}}
	for q, x := range p.Variant.Exercises {
		if job := x.Sheet().Job; job != nil {
			student = append(student, atomicfile.File{Name: fmt.Sprintf("%s-q%d-job.yaml", p.Stem(), q+1), Data: job})
		}
	}
	return student, []atomicfile.File{{Name: p.Stem() + ".html", Data: keyPage}, {Name: p.Stem() + ".txt", Data: p.KeyText()}}, nil
}

// older names the files in a folder that are not of this class: those of students who are
// no longer in the list, or sat elsewhere. They are left to the user.
func (c *call) older(dir string, now []string) error {
	entries, err := os.ReadDir(c.file(dir))
	if err != nil {
		return err
	}
	this := map[string]bool{}
	for _, name := range now {
		this[name] = true
	}
	var old []string
	for _, e := range entries {
		if !this[e.Name()] {
			old = append(old, e.Name())
		}
	}
	if len(old) > 0 {
		fmt.Fprintf(c.errs, "note: %s holds files that are not of this class; delete them before you print: %s\n", c.file(dir), brief(old))
	}
	return nil
}

// brief lists the first of some names.
func brief(names []string) string {
	const most = 6
	text := strings.Join(names[:min(len(names), most)], ", ")
	if n := len(names) - most; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}
