// Binary drawings of an independent writer (the Python library ezdxf) beside
// the same drawings as text: both are read as the same plan.

package binarydxf

import (
	"os/exec"
	"path/filepath"
	"testing"

	"swardline/convert"
	"swardline/convert/wire"
	"swardline/schema"
)

const script = `
import sys, ezdxf
folder = sys.argv[1]
for v in ('R12', 'R2000', 'R2010'):
    d = ezdxf.new(v)
    m = d.modelspace()
    d.layers.new('Lawn', dxfattribs={'color': 3})
    m.add_line((1.5, 2), (3, 4), dxfattribs={'layer': 'Lawn'})
    m.add_circle((0, 0), 2)
    m.add_text('Lawn 1', dxfattribs={'insert': (1, 1)})
    m.add_point((7, 8, 9))
    if v != 'R12':
        m.add_lwpolyline([(0, 0, 0, 0, .5), (10, 0), (10, 10), (0, 10)], close=True)
        m.add_ellipse((5, 5), (3, 0), .5)
    b = d.blocks.new('TREE')
    b.add_circle((0, 0), 1)
    m.add_blockref('TREE', (20, 20), dxfattribs={'xscale': 2, 'yscale': 2})
    d.saveas(folder + '/' + v + '.text.dxf')
    d.saveas(folder + '/' + v + '.binary.dxf', fmt='bin')
`

func TestBothFormsAreOnePlan(t *testing.T) {
	dir := t.TempDir()
	if exec.Command("/usr/bin/python3", "-c", "import ezdxf").Run() != nil {
		t.Skip("the Python library ezdxf (apt: python3-ezdxf) is not here")
	}
	if out, err := exec.Command("/usr/bin/python3", "-c", script, dir).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	read := func(name string) *schema.Plan {
		p, _, err := convert.ReadFile(filepath.Join(dir, name), convert.ReadOptions{ReadOptions: wire.ReadOptions{Unit: "m"}})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	for v, n := range map[string]int{"R12": 6, "R2000": 8, "R2010": 8} {
		text, binary := read(v+".text.dxf"), read(v+".binary.dxf")
		if len(text.Features) != n {
			t.Errorf("%s: %d features", v, len(text.Features))
		}
		if err := schema.Same(text, binary, 0); err != nil {
			t.Errorf("%s: %v", v, err)
		}
	}
}
