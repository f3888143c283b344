// Parse: a CRS from the text that names it.

package crs

import (
	"fmt"
	"strconv"
	"strings"
)

// Parse returns the CRS that a text names: EPSG:n, an OGC URN or URL,
// OGC:CRS84, WKT, PROJJSON, a PROJ string, the canonical text of a site grid,
// or a name of the registry that fits one system alone.
func Parse(text string) (*CRS, error) {
	c, _, err := ParseWithNotes(text)
	return c, err
}

// ParseWithNotes is Parse that also says what of the text was left aside, such
// as the vertical part of a compound, and which system a name was taken for.
func ParseWithNotes(text string) (*CRS, []string, error) {
	t := plainText(text)
	switch {
	case looksLikeWKT(t) && strings.ContainsAny(t, "[\""): // "NAD83(2011)" is a name
		return fromWKT(t)
	case strings.HasPrefix(t, "{"):
		return fromPROJJSON(t)
	case strings.HasPrefix(t, "+") || strings.HasPrefix(t, "proj="):
		return fromPROJString(t)
	}
	t = strings.TrimSuffix(strings.TrimPrefix(t, "["), "]") // a safe CURIE, [EPSG:4326]
	c, err := parseID(t)
	if c != nil || err != nil {
		return c, nil, err
	}
	c, note, err := byName(t)
	if err != nil {
		return nil, nil, err
	}
	if c == nil {
		return nil, nil, fmt.Errorf("%q names no CRS; use EPSG:n, OGC:CRS84, an OGC URN or URL, WKT, a name of the registry, or a site grid (site:lat=..;lon=..)", clip(text))
	}
	return c, []string{note}, nil
}

// parseID reads the forms that need no look-up of names; nil and no error when
// the text is none of them.
func parseID(t string) (*CRS, error) {
	lower := strings.ToLower(t)
	switch {
	case t == "":
		return nil, fmt.Errorf("no CRS named")
	case strings.HasPrefix(lower, "site:"):
		return parseSite(t[len("site:"):])
	case strings.HasPrefix(lower, "urn:"):
		return parseURN(t)
	case strings.HasPrefix(lower, "http://"), strings.HasPrefix(lower, "https://"):
		return parseURL(t)
	}
	if c, err := parseCompound(t); c != nil || err != nil {
		return c, err
	}
	if authority, code, ok := strings.Cut(t, ":"); ok && !strings.ContainsAny(t, "[(\"") && !strings.EqualFold(strings.TrimSpace(authority), "ESRI") {
		return fromAuthority(authority, code, t)
	}
	return nil, nil
}

// clip shortens a text for an error message.
func clip(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "..."
	}
	return s
}

// fromAuthority resolves an authority and code; given is what the user wrote.
func fromAuthority(authority, code, given string) (*CRS, error) {
	authority, code = strings.TrimSpace(authority), strings.TrimSpace(code)
	switch strings.ToUpper(authority) {
	case "EPSG":
		n, err := strconv.Atoi(code)
		if err != nil || n <= 0 || n > 1<<30 || code[0] == '+' {
			return nil, fmt.Errorf("%q: %q is no EPSG code", clip(given), clip(code))
		}
		return epsgCRS(n)
	case "OGC", "CRS":
		switch strings.ToUpper(code) {
		case "CRS84", "84":
			return wgs84CRS, nil
		case "CRS84H":
			return epsgCRS(4979)
		case "CRS83", "83":
			return epsgCRS(4269)
		case "CRS27", "27":
			return epsgCRS(4267)
		}
	}
	return nil, fmt.Errorf("%q names no CRS known here; the authorities known are EPSG and OGC", clip(given))
}

// parseURN reads urn:ogc:def:crs:AUTHORITY:VERSION:CODE.
func parseURN(t string) (*CRS, error) {
	p := strings.Split(t, ":")
	if len(p) >= 6 && strings.EqualFold(p[1], "ogc") || len(p) >= 6 && strings.EqualFold(p[1], "x-ogc") {
		if strings.EqualFold(p[2], "def") && strings.EqualFold(p[3], "crs") {
			if len(p) > 7 {
				return nil, fmt.Errorf("%q: a compound CRS; name its horizontal part", clip(t))
			}
			return fromAuthority(p[4], p[len(p)-1], t)
		}
	}
	return nil, fmt.Errorf("%q is no OGC URN of a CRS (urn:ogc:def:crs:EPSG::25832)", clip(t))
}

// parseURL reads http://www.opengis.net/def/crs/AUTHORITY/VERSION/CODE and the
// older http://www.opengis.net/gml/srs/epsg.xml#CODE.
func parseURL(t string) (*CRS, error) {
	_, rest, _ := strings.Cut(t, "://")
	host, path, _ := strings.Cut(rest, "/")
	if strings.EqualFold(host, "www.opengis.net") || strings.EqualFold(host, "opengis.net") {
		path = strings.TrimSuffix(path, "/")
		if p := strings.Split(path, "/"); len(p) == 5 && p[0] == "def" && p[1] == "crs" {
			return fromAuthority(p[2], p[4], t)
		}
		if code, ok := strings.CutPrefix(path, "gml/srs/epsg.xml#"); ok {
			return fromAuthority("EPSG", code, t)
		}
	}
	return nil, fmt.Errorf("%q is no OGC URL of a CRS (http://www.opengis.net/def/crs/EPSG/0/25832)", clip(t))
}
