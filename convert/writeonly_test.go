// A format may be written only.

package convert

import (
	"io"
	"strings"
	"testing"

	"swardline/convert/wire"
	"swardline/schema"
)

func TestAFormatThatIsOnlyWritten(t *testing.T) {
	old := Formats
	defer func() { Formats = old }()
	Formats = append(Formats[:len(Formats):len(Formats)], &Format{Name: "names", Title: "a list of names", Endings: []string{".names"},
		Write: func(w io.Writer, p *schema.Plan, _ wire.WriteOptions) ([]wire.Loss, error) {
			_, err := io.WriteString(w, p.Name+"\n")
			return nil, err
		}})
	if f, err := FormatToWrite("a.names"); err != nil || f.Name != "names" {
		t.Errorf("%v, %v", f, err)
	}
	var out strings.Builder
	if _, err := Write(&out, &schema.Plan{Name: "Lawn"}, "names", wire.WriteOptions{}); err != nil || out.String() != "Lawn\n" {
		t.Errorf("%q, %v", out.String(), err)
	}
	_, _, err := Read([]byte("Lawn\n"), ReadOptions{ReadOptions: wire.ReadOptions{Name: "a.names"}})
	if err == nil || !strings.Contains(err.Error(), "a.names: a list of names is written, but not read") {
		t.Errorf("%v", err)
	}
	if _, _, err := Read([]byte(tinyGeoJSON), ReadOptions{ReadOptions: wire.ReadOptions{Name: "a.geojson"}}); err != nil {
		t.Error(err)
	}
}
