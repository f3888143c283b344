//go:build !js

// The server of the page: who is answered, and that no path of the disk is
// there.

package desk

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

func TestServer(t *testing.T) {
	s, err := NewServer("127.0.0.1:4711", New())
	if err != nil {
		t.Fatal(err)
	}
	hello := string(frame("hello", object{}, nil))
	for _, c := range []struct {
		name, method, path, host, origin, key string
		body                                  string
		want                                  int
	}{
		{"the page", "GET", "/?key=" + s.Key, "127.0.0.1:4711", "", "", "", 200},
		{"the page by name", "GET", "/?key=" + s.Key, "localhost:4711", "", "", "", 200},
		{"without its key", "GET", "/", "127.0.0.1:4711", "", "", "", 403},
		{"with another key", "GET", "/?key=" + strings.Repeat("0", 32), "127.0.0.1:4711", "", "", "", 403},
		{"a script", "GET", "/desk.js", "127.0.0.1:4711", "", "", "", 200},
		{"another host", "GET", "/desk.js", "desk.example:4711", "", "", "", 403},
		{"another port", "GET", "/desk.js", "127.0.0.1:4712", "", "", "", 403},
		{"the engine", "POST", "/engine", "127.0.0.1:4711", "http://127.0.0.1:4711", s.Key, hello, 200},
		{"the engine without a key", "POST", "/engine", "127.0.0.1:4711", "http://127.0.0.1:4711", "", hello, 403},
		{"the engine from another page", "POST", "/engine", "127.0.0.1:4711", "http://elsewhere.example", s.Key, hello, 403},
		{"the engine from a file", "POST", "/engine", "127.0.0.1:4711", "null", s.Key, hello, 403},
		{"the engine by another name", "POST", "/engine", "elsewhere.example", "http://elsewhere.example", s.Key, hello, 403},
		{"the engine by GET", "GET", "/engine", "127.0.0.1:4711", "", s.Key, "", 403},
		{"a path of the disk", "GET", "/../../../../etc/passwd", "127.0.0.1:4711", "", "", "", 404},
		{"a source", "GET", "/serve.go", "127.0.0.1:4711", "", "", "", 404},
		{"writing", "PUT", "/desk.js", "127.0.0.1:4711", "", "", "x", 405},
	} {
		r := httptest.NewRequest(c.method, "http://127.0.0.1:4711"+c.path, strings.NewReader(c.body))
		r.Host = c.host
		if c.origin != "" {
			r.Header.Set("Origin", c.origin)
		}
		if c.key != "" {
			r.Header.Set("X-Desk-Key", c.key)
		}
		w := httptest.NewRecorder()
		s.ServeHTTP(w, r)
		if w.Code != c.want {
			t.Errorf("%s: %d, want %d", c.name, w.Code, c.want)
		}
		if !strings.HasPrefix(w.Header().Get("Content-Security-Policy"), "default-src 'self'") {
			t.Errorf("%s: the policy is %q", c.name, w.Header().Get("Content-Security-Policy"))
		}
		body, _ := io.ReadAll(w.Result().Body)
		if w.Code != http.StatusOK && strings.Contains(string(body), s.Key) {
			t.Errorf("%s: the key is told", c.name)
		}
	}
}

func TestPolicyOfThePage(t *testing.T) {
	page := string(NativeIndex())
	if strings.Contains(page, `content="worker"`) || !strings.Contains(page, `content="native"`) {
		t.Error("the native page does not say where its engine is")
	}
	for _, part := range strings.Split(Policy, "; ") {
		if part != "frame-ancestors 'none'" && !strings.Contains(page, part) {
			t.Errorf("the page for a static host lacks the policy %q", part)
		}
	}
}
