// The help: every command has examples, and the examples are ones that it
// takes.

package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/spf13/cobra"
)

func TestExamplesOfTheHelp(t *testing.T) {
	s := streams{in: strings.NewReader(""), out: &bytes.Buffer{}, err: &bytes.Buffer{}}
	var names []string
	var walk func(*cobra.Command)
	walk = func(c *cobra.Command) {
		names = append(names, c.CommandPath())
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(s))
	for _, name := range names {
		c, _, err := newRoot(s).Find(strings.Fields(name)[1:])
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(c.Example), "\n")
		if c.Short == "" || len(lines) < 2 {
			t.Errorf("%s: help %q, examples %q", name, c.Short, c.Example)
		}
		for _, line := range lines {
			tryExample(t, s, name, line)
		}
	}
}

// tryExample parses a line without running it.
func tryExample(t *testing.T, s streams, name, line string) {
	_, line, _ = strings.Cut(line, program+" ") // after a pipe, too
	line, _, _ = strings.Cut(line, "     ")     // what it is for
	var args []string
	for i, part := range strings.FieldsFunc(line, func(r rune) bool { return r == '\'' || r == '"' }) {
		if i%2 == 1 {
			args = append(args, part)
		} else {
			args = append(args, strings.Fields(part)...)
		}
	}
	root := newRoot(s)
	args = shieldNumbers(root, args)
	c, rest, err := root.Find(args)
	if err != nil {
		t.Errorf("%s: %s: %v", name, line, err)
		return
	}
	if err := c.ParseFlags(rest); err != nil {
		t.Errorf("%s: %s: %v", name, line, err)
		return
	}
	if err := c.ValidateArgs(c.Flags().Args()); err != nil {
		t.Errorf("%s: %s: %v", name, line, err)
	}
	if c.CommandPath() != name && name != program && !strings.HasPrefix(c.CommandPath(), name+" ") {
		t.Errorf("%s: the example is one of %s", name, c.CommandPath())
	}
}
