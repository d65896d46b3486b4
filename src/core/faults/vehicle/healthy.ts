import { defineFault } from "../define.ts";

export default defineFault({
  id: "healthy",
  title: "Nothing broken: tables and tolerances explain what is seen",
  what: "Parts work within their tolerance. What the recordings show is explained by tables that are honestly wrong (a VE table after a camshaft, a meter in another tube, a base airflow that is off) and by sensors that are not perfect.",
  moves:
    "Fuel residual within a few percent or following the tables that were changed; metered idle flow within a few percent of the commanded one; manifold pressure at rest equal to the barometer; no direct sign of another fault.",
  neighbours: [],
  cost: "Looking for a fault that is not there costs a day and parts; calling a fault healthy bakes it into the tables.",
  prior: 1,
  needs: [],
  poisons: [],
  tests: [],
  sources: ["common-practice"],
});
