// A site with every fault that is looked for, to show that each can be seen.
import { createServer } from "node:http";
import { once } from "node:events";

const page = (elsewhere) => `<!DOCTYPE html>
<html lang="en">
<head>
<meta name="viewport" content="width=device-width">
<title>Broken</title>
<style>body { margin: 0; background: #fff; color: #000 } .dim { outline: none }</style>
</head>
<body>
<main>
<h1>Broken</h1>
<ol class="steps"><li>Open it while it is hot.</li></ol>
<form><input name="bare"> <button></button></form>
<section class="safety"><ul><li>It can burn you.</li></ul></section>
<p style="color: #777">Grey, 4.48 to 1.</p>
<a class="dim" href="/a">No outline</a>
<a href="/b" style="color: #06c; background: #08e">Blue on blue</a>
<a href="/c" tabindex="-1">Out of reach</a>
<a href="/d" tabindex="1">First of all</a>
<p style="width: 900px">Wide</p>
<img src="/policy.png" alt="kept out by the policy">
<iframe title="elsewhere" src="${elsewhere}/"></iframe>
<link rel="stylesheet" href="/missing.css">
<link rel="stylesheet" href="/dropped.css">
</main>
</body>
</html>`;

export async function brokenSite() {
  const server = createServer((request, answer) => {
    switch (request.url) {
      case "/":
        answer.setHeader("Content-Type", "text/html");
        answer.setHeader("Content-Security-Policy", "img-src 'none'");
        answer.end(page(`http://localhost:${server.address().port}`));
        return;
      case "/dropped.css":
        request.socket.destroy();
        return;
    }
    answer.writeHead(404).end();
  }).listen(0, "127.0.0.1");
  await once(server, "listening");
  return { base: `http://127.0.0.1:${server.address().port}`, close: () => server.close() };
}
