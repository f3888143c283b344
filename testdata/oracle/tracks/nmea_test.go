// NMEA sentences as python3-nmea2 reads them (Debian's package). Without it the
// test is skipped.

package tracks

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"swardline/convert/intake/track"
	"swardline/convert/wire/fixes"
)

// python is Debian's own, for which the package is.
const python = "/usr/bin/python3"

const reads = `
import sys, pynmea2
for line in sys.stdin:
    try:
        m = pynmea2.parse(line.strip(), check=True)
    except pynmea2.ParseError:
        print("bad")
        continue
    if m.sentence_type == "GGA":
        print("%.12f %.12f %d %s %s %s" % (m.latitude, m.longitude, m.gps_qual, m.altitude, m.horizontal_dil, m.timestamp.strftime("%H:%M:%S")))
`

func TestGGAAsPython(t *testing.T) {
	if err := exec.Command(python, "-c", "import pynmea2").Run(); err != nil {
		t.Skip("python3-nmea2 is not installed")
	}
	r := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	const n = 2000
	for i := range n {
		body := fmt.Sprintf("%s,%02d%02d%02d.00,%02d%011.8f,%c,%03d%011.8f,%c,%d,%02d,%.1f,%.3f,M,%.3f,M,1.0,0001", []string{"GPGGA", "GNGGA", "GLGGA"}[i%3],
			i/3600, i/60%60, i%60, r.IntN(90), r.Float64()*59.9999, "NS"[r.IntN(2)], r.IntN(180), r.Float64()*59.9999, "EW"[r.IntN(2)],
			[]int{1, 2, 4, 5}[r.IntN(4)], r.IntN(40), r.Float64()*5, r.Float64()*1000, r.Float64()*50)
		sum := byte(0)
		for _, c := range []byte(body) {
			sum ^= c
		}
		if i%50 == 49 {
			sum++ // damage, which both must refuse
		}
		fmt.Fprintf(&b, "$%s*%02X\r\n", body, sum)
	}
	cmd := exec.Command(python, "-c", reads)
	cmd.Stdin = strings.NewReader(b.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var theirs []string
	bad := 0
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		if line == "bad" {
			bad++
			continue
		}
		theirs = append(theirs, line)
	}
	numbers := map[fixes.Quality]int{fixes.Single: 1, fixes.Differential: 2, fixes.Fixed: 4, fixes.Float: 5}
	i := 0
	s, err := track.Read(strings.NewReader(b.String()), track.Options{Name: "log"}, func(f fixes.Fix) error {
		var lat, lon, level, hdop float64
		var quality int
		var clock string
		if _, err := fmt.Sscan(theirs[i], &lat, &lon, &quality, &level, &hdop, &clock); err != nil {
			t.Fatal(err)
		}
		if math.Abs(lat-f.Lat) > 1e-11 || math.Abs(lon-f.Lon) > 1e-11 || quality != numbers[f.Quality] || level != f.Level || hdop != f.HDOP || clock != f.Time.Format("15:04:05") {
			t.Errorf("%d: %+v, python says %s", i, f, theirs[i])
		}
		i++
		return nil
	})
	if err != nil || i != len(theirs) || bad != n/50 || s.Refused != bad {
		t.Errorf("%d positions of %d, %d refused, python refuses %d: %v", i, len(theirs), s.Refused, bad, err)
	}
}
