// Packet prints the job packet of a job file: a cable schedule, a sheet for every
// box, what each control does, and sizing.
//
//	go run ./examples/packet                  the boat shed that is built in
//	go run ./examples/packet -job FILE        a job of your own
//	go run ./examples/packet -json            the same as JSON, documented in package packet
//	go run ./examples/packet -o DIR           files: packet.txt, packet.json and a sheet for each box
//
// It exits 1 if the file is wrong, saying what is wrong where, and 2 if it is called
// the wrong way.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"

	"example.com/switchleg/internal/atomicfile"
	"example.com/switchleg/internal/demo"
	"example.com/switchleg/switchnet/job"
	"example.com/switchleg/switchnet/packet"
	"example.com/switchleg/switchnet/wiring"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

const usage = `Usage: packet [-job FILE] [-json | -o DIR]

Prints the job packet of a job file: cable schedule, box sheets, what each
control does, sizing. Without -job it shows the boat shed that is built in.

`

func run(ctx context.Context, args []string, out, errs io.Writer) int {
	flags := flag.NewFlagSet("packet", flag.ContinueOnError)
	flags.SetOutput(errs)
	flags.Usage = func() {
		fmt.Fprint(errs, usage)
		flags.PrintDefaults()
	}
	file := flags.String("job", "", "read the job from `FILE`")
	asJSON := flags.Bool("json", false, "print JSON")
	dir := flags.String("o", "", "write files into the folder `DIR`, made if need be")
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return 0
		}
		return 2
	}
	if flags.NArg() > 0 || *asJSON && *dir != "" {
		fmt.Fprintln(errs, "packet: give the file with -job, and either -json or -o")
		flags.Usage()
		return 2
	}
	name, src := demo.ShedName, demo.Shed()
	if *file != "" {
		var err error
		name = *file
		if src, err = os.ReadFile(name); err != nil {
			fmt.Fprintln(errs, "packet:", err)
			return 1
		}
	}
	doc, err := build(ctx, name, src)
	if err == nil {
		err = write(doc, *asJSON, *dir, out)
	}
	if err != nil {
		fmt.Fprintln(errs, err)
		return 1
	}
	return 0
}

// build reads the job and makes its packet.
func build(ctx context.Context, name string, src []byte) (*packet.Document, error) {
	f, err := job.Parse(name, src, nil)
	if err != nil {
		return nil, err
	}
	if !f.HasWiring() {
		return nil, fmt.Errorf("%s: the file says what is wanted but not how it is wired; add cables, devices, splices and landings", name)
	}
	w, err := wiring.New(f.Wiring)
	if err != nil {
		return nil, err
	}
	return packet.Build(ctx, packet.Input{Title: f.Title, Intent: f.Intent, Wiring: w, Region: f.Region})
}

func write(doc *packet.Document, asJSON bool, dir string, out io.Writer) error {
	switch {
	case dir != "":
		files, err := packet.Files(doc)
		if err != nil {
			return err
		}
		var all []atomicfile.File
		for _, f := range files {
			all = append(all, atomicfile.File(f))
		}
		if err := atomicfile.WriteAll(dir, all); err != nil {
			return err
		}
		_, err = fmt.Fprintf(out, "%d files written to %s\n", len(files), dir)
		return err
	case asJSON:
		return packet.WriteJSON(out, doc)
	}
	return packet.WriteText(out, doc)
}
