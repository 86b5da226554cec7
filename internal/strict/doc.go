// Package strict reads the files people write: YAML text in, values with
// positions out, and every complaint with its place.
//
// The calls in order of use:
//
//	doc, err := strict.Parse("shed.yaml", src, strict.Options{}) // err: the text could not be read at all
//	m := doc.Root().Map("a job file")                            // a reader that remembers which keys were asked for
//	title, ok := m.Need("title", "the title of the job").Text("the title of the job")
//	for _, n := range m.Get("boxes").List("a list of boxes") { ... }
//	m.Done()                                                     // every key nobody asked for is an error
//	if err := doc.Err(); err != nil { ... }                      // all problems at once, in file order
//	out, err := doc.Format()                                     // the same file in its one canonical layout
//
// Nothing is decoded into Go types: a scalar is the text that was written, so
// 010, 1.10, on, no and ~ stay 010, 1.10, on, no and ~, and whether it stood
// in quotes is known. One document to a file. Anchors, aliases, merge keys,
// tags, directives, complex keys, plain text that runs on over a second line,
// control characters and doubled keys are errors. A byte-order mark and
// carriage returns before newlines are accepted.
//
// # Positions
//
// Lines and columns count from 1. A column counts Unicode code points (runes),
// not bytes and not the cells a terminal shows; a tab is one.
//
// # Limits
//
// A file may have 2 MB (2,097,152 bytes), 64 levels of nesting and 200,000
// commas, colons and brackets in one bracketed collection (a job of about 1 MB
// in JSON); [Options] changes them. Size, byte validity and brackets are
// checked before the YAML parser sees the text, and nesting by its scanner
// before any node is built, so that hostile text costs a stated amount: within
// the default limits at most about 350 MB of memory and two seconds, and
// ordinarily 60 bytes for each byte of text, in time proportional to it.
//
// # Which YAML parser, and why
//
// go.yaml.in/yaml v4.0.0 rather than v3 v3.0.6; both were tried on the same
// texts. v4 gives line and column for every syntax error and the place where
// the unfinished construct began, v3 gives a line only, often of the wrong
// construct or none at all; v4 refuses a second document and stray text after
// the first, v3 drops them silently; v4 lets the nesting limit be set. v4 holds
// every token of an outermost bracketed collection in memory (1.07 GB for
// 2 MB of "a," against 0.21 GB in v3), which is why brackets are looked at first.
// Neither keeps every comment on its nodes or writes a tree back unchanged, so
// comments are taken from the text between the nodes and [Doc.Format] writes
// them itself.
package strict
