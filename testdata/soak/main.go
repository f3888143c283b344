// The long soak: random plans through every conversion and a check, again and
// again, with the memory printed and every plan held against what it was.
//
//	go run ./testdata/soak -for 1h
package main

import (
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"
	"time"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/schema"
	"swardline/testdata/randplan"
	"swardline/validate"
	"swardline/validate/report"
)

const toleranceM = 1e-4 // of a conversion there and back

func main() {
	duration := flag.Duration("for", time.Hour, "how long to go on")
	every := flag.Duration("every", 10*time.Second, "how often to print")
	seed := flag.Uint64("seed", 1, "seed of the first plan")
	flag.Parse()
	start := time.Now()
	next := start
	plans, conversions := 0, 0
	for s := *seed; time.Since(start) < *duration; s++ {
		n, err := turn(s)
		if err != nil {
			fmt.Fprintf(os.Stderr, "seed %d: %v\n", s, err)
			os.Exit(1)
		}
		plans++
		conversions += n
		if time.Now().After(next) {
			tell(start, plans, conversions)
			next = time.Now().Add(*every)
		}
	}
	tell(start, plans, conversions)
}

// tell prints the memory that is still reachable, after a collection.
func tell(start time.Time, plans, conversions int) {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	fmt.Printf("%8.0f s %9d plans %9d conversions %8.2f MiB live %8.2f MiB from the system\n",
		time.Since(start).Seconds(), plans, conversions, float64(m.HeapAlloc)/(1<<20), float64(m.Sys)/(1<<20))
}

// turn takes one plan through every format that holds degrees, and through a
// check whose report it writes and reads back.
func turn(seed uint64) (conversions int, err error) {
	p := randplan.New(seed, randplan.Options{})
	for _, f := range convert.Formats {
		if f.Write == nil || f.Drawing || f.Lossy {
			continue
		}
		layouts := f.Layouts
		if layouts == nil {
			layouts = []string{""}
		}
		for _, layout := range layouts {
			var b bytes.Buffer
			losses, err := convert.Write(&b, p, f.Name, convert.WriteOptions{Layout: layout})
			if err != nil || len(losses) > 0 {
				return conversions, fmt.Errorf("writing %s %s: %v, lost %v", f.Name, layout, err, losses)
			}
			back, _, err := convert.Read(b.Bytes(), convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: "a" + f.Endings[0]}})
			if err != nil {
				return conversions, fmt.Errorf("reading %s %s: %w", f.Name, layout, err)
			}
			if err := schema.Same(p, back, toleranceM); err != nil {
				return conversions, fmt.Errorf("%s %s: %w", f.Name, layout, err)
			}
			conversions++
		}
	}
	set := report.Set{Tool: report.Tool{Name: "soak", Version: "1"}, Plans: []report.Plan{report.NewPlan("a", validate.Check(p, schema.DefaultLimits()), nil)}}
	var b bytes.Buffer
	if err := set.JSON(&b); err != nil {
		return conversions, err
	}
	if _, err := report.ReadJSON(b.Bytes()); err != nil {
		return conversions, err
	}
	for _, encode := range []func(io.Writer) error{set.SARIF, set.JUnit, set.GeoJSON, set.CSV, set.Text, set.HTML, set.Register} {
		if err := encode(io.Discard); err != nil {
			return conversions, err
		}
	}
	return conversions, nil
}
