import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";

export default defineConfig({
  root: "src/web",
  base: "./",
  plugins: [react()],
  build: { target: "es2022", emptyOutDir: true, outDir: "../../dist/web", assetsInlineLimit: 0, modulePreload: { polyfill: false } },
});
