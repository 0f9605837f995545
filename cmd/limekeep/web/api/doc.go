// Package api is the interface for programs: all that the pages show and take, as JSON
// under /api/v1. The description of it (OpenAPI 3.1) is made from the code and stands at
// /api/v1/openapi.json, so that it cannot say what is not so.
//
// What is asked is answered with the same structs that the commands print with --json.
// Errors are problem details (RFC 9457). A version under this path keeps its members;
// new ones may join.
package api
