import { createHash } from "node:crypto";
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { gzipSync } from "node:zlib";
import { build, defineConfig, type Plugin } from "vite";

const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };
const NOT_PRECACHED = /^(sw\.js|robots\.txt)$|^licences\/|\.(map|gz)$/;
const WORTH_ZIPPING = /\.(js|css|html|svg|json|wasm|webmanifest|txt)$/;
const FONT_LICENCE = "node_modules/@fontsource-variable/atkinson-hyperlegible-next/LICENSE";

function filesUnder(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((file) => file.isFile())
    .map((file) => join(file.parentPath, file.name).slice(folder.length + 1))
    .map((name) => name.replaceAll("\\", "/"))
    .sort();
}

function sha256(path: string): string {
  return createHash("sha256").update(readFileSync(path)).digest("hex");
}

/** Builds the service worker after the app, with the list of files to keep offline inside it. */
function serviceWorker(): Plugin {
  let out = "";
  return {
    name: "potrounds-service-worker",
    apply: "build",
    configResolved(config) {
      out = resolve(config.root, config.build.outDir);
    },
    generateBundle() {
      this.emitFile({
        type: "asset",
        fileName: "licences/atkinson-hyperlegible-next.txt",
        source: readFileSync(FONT_LICENCE),
      });
    },
    closeBundle: {
      sequential: true,
      order: "post",
      async handler() {
        const list = filesUnder(out)
          .filter((name) => !NOT_PRECACHED.test(name))
          // A hashed name never changes its content, so it needs no revision.
          .map((name) => ({
            url: `/${name}`,
            revision: name.startsWith("assets/") ? null : sha256(join(out, name)).slice(0, 16),
          }));
        await build({
          configFile: false,
          publicDir: false,
          logLevel: "warn",
          define: {
            __PRECACHE__: JSON.stringify(list),
            __VERSION__: JSON.stringify(version),
            "process.env.NODE_ENV": '"production"',
          },
          build: {
            outDir: out,
            emptyOutDir: false,
            target: "es2022",
            rolldownOptions: {
              input: "src/sw/service-worker.ts",
              output: { format: "iife", entryFileNames: "sw.js", codeSplitting: false },
            },
          },
        });
        for (const name of filesUnder(out).filter((file) => WORTH_ZIPPING.test(file))) {
          writeFileSync(
            join(out, `${name}.gz`),
            gzipSync(readFileSync(join(out, name)), { level: 9 }),
          );
        }
      },
    },
  };
}

export default defineConfig({
  plugins: [serviceWorker()],
  define: { __VERSION__: JSON.stringify(version) },
  build: { target: "es2022", assetsInlineLimit: 0, chunkSizeWarningLimit: 1200 },
  server: {
    fs: { allow: [".."] }, // the catalogue of words lies beside the server
    proxy: { "/api": "http://127.0.0.1:8077" },
  },
});
