// Modules of the built program, for tools. Their types are unknown here: dist is no source.
import { pathToFileURL } from "node:url";
import { at } from "../scripts/paths.mjs";

/**
 * @param {string} file path below dist, without extension
 * @returns {Promise<any>}
 */
export function built(file) {
  return import(pathToFileURL(at("dist", `${file}.js`)).href);
}
