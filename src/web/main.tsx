import "@fontsource/atkinson-hyperlegible-next/latin-400.css";
import "@fontsource/atkinson-hyperlegible-next/latin-700.css";
import "@fontsource/atkinson-hyperlegible-mono/latin-400.css";
import "@fontsource/atkinson-hyperlegible-mono/latin-700.css";
import "./bench.css";
import "./shell.css";
import "./board.css";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { drawingCss, themeCss } from "../drawing/index.ts";
import { Bench } from "./shell/bench.tsx";
import { applyTheme } from "./state/theme.ts";

// Colours and the look of pictures are written once, in the drawing room; the page takes them from there.
const style = document.createElement("style");
style.textContent = `${themeCss()}\n${drawingCss()}`;
document.head.append(style);
applyTheme();

createRoot(document.getElementById("bench")!).render(
  <StrictMode>
    <Bench />
  </StrictMode>,
);
