// What a shell offers behind Tab: reference systems, rules, formats, and the
// features of a plan.

package main

import (
	"strings"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/job"
	"swardline/schema"
	"swardline/validate"
)

// completion offers words for what has been typed.
type completion = func(cmd *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective)

// mostOffered is how many words a shell is offered: more fill a screen and help
// nobody.
const mostOffered = 60

// addCompletions gives the flags of all commands their words, by the flag's
// name.
func addCompletions(root *cobra.Command, s streams) {
	words := map[string]completion{
		"from": offerSystems, "to": offerSystems, "grid": offerSystems,
		"read": offer(job.Formats()...), "write": offer(job.Formats()...), "layout": offer("wkt", "points", "lines", "sequence"),
		"model": offer("shift", "rigid", "similarity", "affine"), "paper": offer("A4", "A3", "Letter"), "for": offer("client", "authority", "crew"),
		"fail-on": offer("error", "warning", "unchecked", "note", "never"), "constellations": offer("gps", "galileo", "glonass", "beidou", "qzss"),
		"units": offer("m", "mm", "ft", "ftUS", "in"), "role": offer(roleWords()...), "active": offer("on", "off"), "feature": s.offerFeatures,
	}
	for _, c := range root.Commands() {
		for name, f := range words {
			if c.Flags().Lookup(name) != nil {
				_ = c.RegisterFlagCompletionFunc(name, f) // an error is for a name given twice
			}
		}
		switch c.Name() {
		case "check":
			_ = c.RegisterFlagCompletionFunc("explain", offer(ruleWords()...))
		case "crs":
			for _, sub := range c.Commands() {
				if sub.Name() == "show" {
					sub.ValidArgsFunction = offerSystems
				}
			}
		}
	}
}

func offer(words ...string) completion {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words, cobra.ShellCompDirectiveNoFileComp
	}
}

func roleWords() []string {
	var out []string
	for _, r := range schema.Roles {
		out = append(out, string(r))
	}
	return out
}

func ruleWords() []string {
	out := []string{"rules", "limits"}
	for _, r := range validate.Rules {
		out = append(out, r.Name)
	}
	return out
}

// offerSystems offers the systems whose code begins as typed, or whose name has
// the word, with their names beside.
func offerSystems(_ *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	var out []string
	add := func(word string) {
		j := job.Job{}
		list, err := j.ListSystems([]string{word})
		if err != nil {
			return
		}
		for _, c := range list {
			if id := c.ID(); len(out) < mostOffered && (strings.HasPrefix(strings.ToLower(id), strings.ToLower(typed)) || word == typed) {
				out = append(out, id+"\t"+c.Name())
			}
		}
	}
	if code := strings.TrimPrefix(strings.ToUpper(typed), "EPSG:"); code != "" {
		add(code)
	}
	if len(out) == 0 && typed != "" {
		add(typed)
	}
	return out, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
}

// offerFeatures offers the names and ids of the plan that the command was
// given.
func (s streams) offerFeatures(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	j := job.Job{Store: &disk{streams: s}}
	p, err := j.Open(args[0], &job.Reading{})
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var out []string
	for _, f := range p.Features {
		if word := f.Label(); len(out) < mostOffered {
			out = append(out, word+"\t"+string(f.Role))
		}
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}
