// The manifest of a hand-over: what was handed over, byte for byte, and by what
// it was checked; and the look back at it.

package job

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"swardline/convert"
	"swardline/convert/sheet"
	"swardline/convert/wire"
	"swardline/crs"
	"swardline/schema"
	"swardline/validate"
	"swardline/validate/report"
)

// bundleManifest is the name of the manifest.
const bundleManifest = "manifest.json"

// Manifest lists the files of a hand-over with what made and checked them.
type Manifest struct {
	Format int         `json:"format"` // 1
	Tool   report.Tool `json:"tool"`
	Date   string      `json:"date"` // YYYY-MM-DD
	Source string      `json:"source"`
	For    string      `json:"for"`
	CRS    string      `json:"crs,omitempty"` // of the data files
	// Registry is the version of the EPSG registry, and its date.
	Registry struct {
		Version string `json:"version"`
		Date    string `json:"date"`
	} `json:"registry"`
	// Limits are the operator's, all of them.
	Limits     []ManifestLimit `json:"limits"`
	MayLoosen  []string        `json:"may_loosen,omitempty"`
	KnownWords []string        `json:"known_words,omitempty"`
	Files      []ManifestFile  `json:"files"`
	// Check is how plan.geojson itself checks, nil without one. It may differ
	// from the report, which is of the plan as it was drawn: GeoJSON has a way
	// round for outlines.
	Check *ManifestCheck `json:"check,omitempty"`
}

// ManifestCheck is the outcome of every rule, and the findings by severity,
// rule and features.
type ManifestCheck struct {
	Rules    map[string]string `json:"rules"`
	Findings []string          `json:"findings"`
}

// ManifestLimit is the value of one limit, and who gave it.
type ManifestLimit struct {
	Name  string        `json:"name"`
	Value float64       `json:"value"`
	From  schema.Origin `json:"from"`
}

// ManifestFile is one file and the SHA-256 of its bytes, in hexadecimal.
type ManifestFile struct {
	Name   string `json:"name"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
}

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// manifest is that of the parts.
func (job *sheetJob) manifest(parts []part) (part, error) {
	m := Manifest{Format: 1, Tool: tool(), Date: job.date, Source: job.drawing.Source, For: string(job.layout.For), MayLoosen: job.limits.MayLoosen(), KnownWords: job.limits.KnownWords()}
	m.Registry.Version, m.Registry.Date = crs.RegistryVersion()
	if job.grid != nil {
		m.CRS = job.grid.ID()
	}
	for _, l := range schema.LimitTable {
		v, _ := job.limits.Get(l.Key)
		m.Limits = append(m.Limits, ManifestLimit{l.Key, v, job.limits.OriginOf(l.Key)})
	}
	for _, p := range parts {
		m.Files = append(m.Files, ManifestFile{p.name, len(p.data), sumOf(p.data)})
		if p.name == bundleGeoJSON {
			l, err := m.limits()
			if err != nil {
				return part{}, err
			}
			if m.Check, err = checkOf(p.data, l); err != nil {
				return part{}, err
			}
		}
	}
	data, err := json.MarshalIndent(m, "", "  ")
	return part{name: bundleManifest, data: append(data, '\n')}, err
}

// limits are the manifest's, as the check had them.
func (m *Manifest) limits() (schema.Limits, error) {
	l := schema.DefaultLimits()
	for _, x := range m.Limits {
		if x.From == schema.OriginDefault {
			if v, ok := l.Get(x.Name); ok && v == x.Value {
				continue
			}
		}
		if err := l.Set(x.Name, x.Value, schema.OriginFile, bundleManifest); err != nil {
			return l, err
		}
	}
	for _, key := range m.MayLoosen {
		if err := l.LetLoosen(key); err != nil {
			return l, err
		}
	}
	for _, word := range m.KnownWords {
		if err := l.KnowWord(word); err != nil {
			return l, err
		}
	}
	return l, nil
}

// handedOver decides which files whom a hand-over is for gets.
func handedOver(to sheet.Audience, name string) bool {
	switch to {
	case sheet.ForClient:
		return slices.Contains([]string{bundleSheet, bundleMap, bundleKML, bundleQuantities, bundleReadme}, name)
	case sheet.ForCrew:
		return slices.Contains([]string{bundleSheet, bundleMap, bundleGeoJSON, bundleCSV, bundleDXF, bundlePRJ, bundleQuantities, bundleCheck, bundleCheckAll, bundleReadme}, name)
	}
	return true
}

// States of a file of a hand-over.
const (
	BundleAsMade  = "as made"
	BundleChanged = "changed"
	BundleMissing = "missing"
	BundleAdded   = "not in the manifest"
	// BundleOutside is a name that a program may unpack anywhere on a disk.
	BundleOutside = "not in the manifest, and leads out of the hand-over: do not unpack it"
)

// BundleFile is one file looked back at.
type BundleFile struct{ Name, State string }

// BundleChecked is what CheckBundle found.
type BundleChecked struct {
	Manifest Manifest
	Files    []BundleFile
	// Rechecked is false when the hand-over has no plan to check again; Why
	// then says so. Differs tells in what a check today comes out otherwise.
	Rechecked bool
	Why       string
	Findings  int
	Differs   []string
}

// Whole reports whether every file is as it was made and the check came out as
// it did.
func (b *BundleChecked) Whole() bool {
	return len(b.Differs) == 0 && !slices.ContainsFunc(b.Files, func(f BundleFile) bool { return f.State != BundleAsMade })
}

// CheckBundle holds the files of a hand-over, a folder or a .zip, against its
// manifest, and checks its plan again with the limits that it was checked with.
// present are the names of the files in a folder, for those that the manifest
// does not have.
func (j *Job) CheckBundle(name string, present []string) (*BundleChecked, error) {
	read := func(part string) ([]byte, error) {
		return j.Store.Read(filepath.Join(name, filepath.FromSlash(part)), settingsBytes)
	}
	if strings.EqualFold(filepath.Ext(name), ".zip") {
		files, err := j.unzip(name)
		if err != nil {
			return nil, err
		}
		present = nil
		for _, f := range files {
			present = append(present, f.Name)
		}
		read = func(part string) ([]byte, error) {
			if i := slices.IndexFunc(files, func(f File) bool { return f.Name == part }); i >= 0 {
				return files[i].Bytes, nil
			}
			return nil, fs.ErrNotExist
		}
	}
	text, err := read(bundleManifest)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, Fault("name a hand-over made with "+j.command("sheet PLAN --bundle ZIP"), "%s holds no %s, so nothing says what it held when it was made", name, bundleManifest)
	}
	if err != nil {
		return nil, err
	}
	out := &BundleChecked{}
	if err := json.Unmarshal(text, &out.Manifest); err != nil || out.Manifest.Format != 1 {
		return nil, Fault("the manifest was changed, or a later version made it", "%s: %s is no manifest of a hand-over", name, bundleManifest)
	}
	whole := map[string][]byte{}
	listed := map[string]bool{bundleManifest: true}
	for _, f := range out.Manifest.Files {
		listed[f.Name] = true
		state := BundleAsMade
		var data []byte
		err := fs.ErrNotExist
		if !strings.ContainsAny(f.Name, `/\:`) { // nothing outside is even looked at
			data, err = read(f.Name)
		}
		switch {
		case errors.Is(err, fs.ErrNotExist):
			state = BundleMissing
		case err != nil:
			return nil, err
		case len(data) != f.Bytes || sumOf(data) != f.SHA256:
			state = BundleChanged
		default:
			whole[f.Name] = data
		}
		out.Files = append(out.Files, BundleFile{f.Name, state})
	}
	for _, n := range present {
		switch plain := strings.ReplaceAll(n, `\`, "/"); {
		case listed[n] && n == path.Base(plain):
		case path.IsAbs(plain) || strings.Contains(plain, ":") || slices.Contains(strings.Split(plain, "/"), ".."):
			out.Files = append(out.Files, BundleFile{n, BundleOutside})
		default:
			out.Files = append(out.Files, BundleFile{n, BundleAdded})
		}
	}
	return out, j.recheck(out, whole)
}

// recheck checks the plan of a hand-over again.
func (j *Job) recheck(b *BundleChecked, whole map[string][]byte) error {
	plan, was := whole[bundleGeoJSON], b.Manifest.Check
	if plan == nil || was == nil {
		b.Why = "it holds no " + bundleGeoJSON + " as it was made"
		return nil
	}
	limits, err := b.Manifest.limits()
	if err != nil {
		return Fault("this version of the program does not know it", "%s: %w", bundleManifest, err)
	}
	now, err := checkOf(plan, limits)
	if err != nil {
		return err
	}
	b.Rechecked, b.Findings = true, len(now.Findings)
	if v := b.Manifest.Tool.Version; v != Version {
		b.Why = fmt.Sprintf("it was checked by version %s, this is %s", v, Version)
	}
	if v, _ := crs.RegistryVersion(); v != b.Manifest.Registry.Version {
		b.Why = strings.TrimPrefix(b.Why+fmt.Sprintf("; its registry was %s, this one is %s", b.Manifest.Registry.Version, v), "; ")
	}
	b.Differs = differences(was, now)
	return nil
}

// checkOf checks a plan in GeoJSON.
func checkOf(data []byte, limits schema.Limits) (*ManifestCheck, error) {
	p, _, err := convert.Read(data, convert.ReadOptions{ReadOptions: wire.ReadOptions{Name: bundleGeoJSON, Limits: limits}, Format: "geojson"})
	if err != nil {
		return nil, err
	}
	if ground, err := validate.GroundOf(p); err == nil {
		p = ground
	}
	r := report.NewPlan(bundleGeoJSON, validate.Check(p, limits), nil)
	out := &ManifestCheck{Rules: map[string]string{}, Findings: []string{}}
	for _, x := range r.Rules {
		out.Rules[x.Rule] = x.Outcome
	}
	for _, f := range r.Findings {
		out.Findings = append(out.Findings, f.Severity+" "+f.Rule+": "+strings.Join(f.Features, ", "))
	}
	return out, nil
}

// differences tells in what two checks of a plan came out otherwise: outcomes
// of rules, and findings by rule, severity and features.
func differences(old, now *ManifestCheck) []string {
	var out []string
	for _, rule := range slices.Sorted(maps.Keys(now.Rules)) {
		if was, known := old.Rules[rule]; !known {
			out = append(out, fmt.Sprintf("%s is %s now, and was not known then", rule, now.Rules[rule]))
		} else if was != now.Rules[rule] {
			out = append(out, fmt.Sprintf("%s is %s now, and was %s", rule, now.Rules[rule], was))
		}
	}
	for _, rule := range slices.Sorted(maps.Keys(old.Rules)) {
		if _, there := now.Rules[rule]; !there {
			out = append(out, fmt.Sprintf("%s was %s, and is not known now", rule, old.Rules[rule]))
		}
	}
	count := map[string]int{}
	for _, k := range old.Findings {
		count[k]--
	}
	for _, k := range now.Findings {
		count[k]++
	}
	for _, k := range slices.Sorted(maps.Keys(count)) {
		switch n := count[k]; {
		case n > 0:
			out = append(out, "new: "+k)
		case n < 0:
			out = append(out, "gone: "+k)
		}
	}
	return out
}

// Caps of a hand-over's .zip.
const (
	bundleMostFiles = 200
	bundleMostBytes = 1 << 30
)

// unzip returns the files of a .zip.
func (j *Job) unzip(name string) ([]File, error) {
	data, err := j.Store.Read(name, bundleMostBytes)
	if err != nil {
		return nil, err
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, Fault("name a hand-over, a folder or a .zip", "%s is no .zip (%w)", name, err)
	}
	if len(z.File) > bundleMostFiles {
		return nil, Fault("name a hand-over", "%s holds %d files; a hand-over has at most %d", name, len(z.File), bundleMostFiles)
	}
	var out []File
	total := 0
	for _, f := range z.File {
		if f.FileInfo().IsDir() {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return nil, Fault("the .zip is damaged", "%s: %s: %w", name, f.Name, err)
		}
		part, err := io.ReadAll(io.LimitReader(r, int64(bundleMostBytes-total)+1))
		r.Close()
		total += len(part)
		switch {
		case err != nil:
			return nil, Fault("the .zip is damaged", "%s: %s: %w", name, f.Name, err)
		case total > bundleMostBytes:
			return nil, Fault("name a hand-over", "%s holds more than %d bytes once it is unpacked", name, bundleMostBytes)
		}
		if slices.ContainsFunc(out, func(g File) bool { return g.Name == f.Name }) {
			return nil, Fault("the .zip was changed", "%s holds %s twice", name, f.Name)
		}
		out = append(out, File{f.Name, part})
	}
	return out, nil
}
