import { defineFault } from "../define.ts";

export default defineFault({
  id: "sensor.map-bias",
  title: "Manifold pressure sensor is off by a constant",
  what: "The sensor, its reference voltage, its ground or a restricted port makes manifold pressure read high or low by about the same kilopascals everywhere.",
  moves:
    "Speed-density air is wrong by bias over pressure: a large share at idle, a small one at load. Where the controller uses speed and density the fuel residual shows it with the opposite sign; where it uses the meter, meter over speed-density air shows it. With the engine at rest the sensor disagrees with the barometer, and at full load it may read above ambient.",
  neighbours: [
    { fault: "healthy", tell: "a VE table that is wrong after a camshaft also moves speed-density air, but the sensor agrees with the barometer at rest" },
    { fault: "air.unmetered-leak", tell: "moves the fuel residual on the meter and leaves the sensor right at rest" },
  ],
  cost: "Baked into the VE table it tilts every row: the table then fits neither altitude nor the next sensor.",
  prior: 0.8,
  needs: ["map"],
  poisons: ["air.ve"],
  record: "Ten seconds with ignition on and engine off before the start: manifold pressure against the barometer",
  tests: ["map-against-barometer"],
  sources: ["PH-01", "RT-15", "common-practice"],
  story: {
    size: { name: "bias", unit: "kPa", low: 1.8, high: 12 },
    manners: [
      { id: "reads-high", says: "reads high", share: 0.35, deviate: (size) => ({ mapKpa: size }) },
      { id: "reads-low", says: "reads low", share: 0.35, deviate: (size) => ({ mapKpa: -size }) },
      { id: "gain-high", says: "reads high in proportion", share: 0.15, deviate: (size, at) => ({ mapKpa: (size * at.mapKpa) / at.baroKpa }) },
      { id: "gain-low", says: "reads low in proportion", share: 0.15, deviate: (size, at) => ({ mapKpa: (-size * at.mapKpa) / at.baroKpa }) },
    ],
  },
});
