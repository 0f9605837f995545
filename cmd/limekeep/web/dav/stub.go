package dav

import (
	"context"
	"log/slog"
	"net/http"
)

type Server struct {
	Collection   Collection
	Prefix, User string
	Authenticate func(ctx context.Context, user, password string) (string, bool, error)
	Log          *slog.Logger
}

func (s *Server) Handler() http.Handler { return http.NotFoundHandler() }
