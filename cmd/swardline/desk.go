// swardline desk: the page in a browser, on this machine alone.

//go:build !js

package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"swardline/cmd/internal/desk"
	"swardline/cmd/internal/job"
)

func newDeskCmd(s streams) *cobra.Command {
	var port int
	cmd := command("desk [FILE...]", deskWords, nil)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		var files []job.File
		store := &disk{streams: s}
		for _, name := range args {
			data, err := store.Read(name, 1<<30)
			if err != nil {
				return err
			}
			files = append(files, job.File{Name: filepath.Base(name), Bytes: data})
		}
		return s.serve(cmd.Context(), port, desk.New(files...))
	}
	cmd.Flags().IntVar(&port, "port", 0, "`port` on 127.0.0.1; 0 takes a free one")
	return cmd
}

// serve answers until the command is ended.
func (s streams) serve(ctx context.Context, port int, session *desk.Session) error {
	listener, err := net.Listen("tcp", fmt.Sprintf("127.0.0.1:%d", port))
	if err != nil {
		return job.Refuse("leave out --port to take a free one", "port %d cannot be used: %w", port, err)
	}
	server, err := desk.NewServer(listener.Addr().String(), session)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, deskOpen, listener.Addr(), server.Key)
	web := &http.Server{Handler: server, ReadHeaderTimeout: 10 * time.Second}
	ended := make(chan struct{})
	stop := context.AfterFunc(ctx, func() {
		defer close(ended)
		short, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		defer cancel()
		_ = web.Shutdown(short) // what is still being answered then is cut
	})
	defer stop()
	if err := web.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	<-ended
	return nil
}
