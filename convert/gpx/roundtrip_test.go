// Round trips: plan to GPX and back loses nothing, and what comes out is valid.

package gpx

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
	"swardline/testdata/randplan"
)

func mustWrite(t testing.TB, p *schema.Plan) []byte {
	t.Helper()
	var out bytes.Buffer
	losses, err := Write(&out, p, wire.WriteOptions{})
	if err != nil {
		t.Fatalf("Write: %v", err)
	}
	if len(losses) > 0 {
		t.Fatalf("losses: %v", losses)
	}
	return out.Bytes()
}

func mustRead(t testing.TB, data []byte) *schema.Plan {
	t.Helper()
	p, warnings, err := Read(data, wire.ReadOptions{Name: "x.gpx"})
	if err != nil {
		t.Fatalf("Read: %v\n%s", err, data)
	}
	if len(warnings) > 0 {
		t.Fatalf("warnings on our own file: %v\n%s", warnings, data)
	}
	return p
}

const tolerance = 1e-4 // metres

func TestRandomPlansSurvive(t *testing.T) {
	seeds := uint64(1000)
	if !randplan.Long() {
		seeds = 100
	}
	for seed := range seeds {
		p := randplan.New(seed, randplan.Options{})
		data := mustWrite(t, p)
		q := mustRead(t, data)
		if err := schema.Same(p, q, tolerance); err != nil {
			t.Fatalf("seed %d: %v\n%s", seed, err, data)
		}
		if again := mustWrite(t, q); !bytes.Equal(data, again) {
			t.Fatalf("seed %d: writing what was read gives other bytes", seed)
		}
	}
}

// checkSchema runs xmllint with the GPX schema over files.
func checkSchema(t *testing.T, files ...string) {
	t.Helper()
	shared := os.Getenv("SWARDLINE_SHARED")
	if shared == "" {
		t.Skip("SWARDLINE_SHARED is not set")
	}
	lint, err := exec.LookPath("xmllint")
	if err != nil {
		t.Skip("xmllint is not installed")
	}
	out, err := exec.Command(lint, append([]string{"--nonet", "--noout", "--schema", filepath.Join(shared, "standards/gpx11/gpx.xsd")}, files...)...).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%.4000s", err, out)
	}
}

func TestWrittenFilesAreValid(t *testing.T) {
	dir := t.TempDir()
	var files []string
	for seed := range uint64(200) {
		name := filepath.Join(dir, fmt.Sprintf("%d.gpx", seed))
		if err := os.WriteFile(name, mustWrite(t, randplan.New(seed, randplan.Options{})), 0o600); err != nil {
			t.Fatal(err)
		}
		files = append(files, name)
	}
	checkSchema(t, files...)
}
