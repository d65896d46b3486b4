import { describe, expect, it } from "vitest";
import { roleMisfit } from "./role-fit.ts";
import { ROLES, type Role } from "./roles.ts";
import { curve, grid, single, type Table } from "./table.ts";

const ROLE_IDS = Object.keys(ROLES) as Role[];

/** A table as the role describes it. */
function shaped(role: Role): Table {
  const described = ROLES[role] as { unit: string; x?: { name: string; unit: string }; y?: { name: string; unit: string } };
  const axis = (of: { name: string; unit: string }) => ({ ...of, values: Float64Array.of(1, 2) });
  const count = described.x === undefined ? 1 : described.y === undefined ? 2 : 4;
  return {
    title: "Some table",
    unit: described.unit,
    ...(described.x === undefined ? {} : { x: axis(described.x) }),
    ...(described.y === undefined ? {} : { y: axis(described.y) }),
    cells: new Float64Array(count),
  };
}

describe("whether a table can have a role", () => {
  it.each(ROLE_IDS)("%s takes a table as it describes it, also without units", (role) => {
    const table = shaped(role);
    expect(roleMisfit(table, role)).toBeUndefined();
    const bare = { ...table, unit: "", ...(table.x && { x: { ...table.x, unit: "" } }), ...(table.y && { y: { ...table.y, unit: "" } }) };
    expect(roleMisfit(bare, role)).toBeUndefined();
  });

  it("refuses another size, and says which", () => {
    expect(roleMisfit({ ...curve("idle.target-speed", "rpm", [0, 80], [900, 700]), title: "Idle" }, "air.ve")).toBe(
      '"Idle" is a curve over one axis, Volumetric efficiency (air.ve) is a grid over two axes',
    );
    expect(roleMisfit(single("limit.engine-speed", "rpm", 6500), "idle.target-speed")).toContain("is a single value");
    expect(roleMisfit(shaped("spark.main"), "fuel.full-load-ratio")).toContain("is a grid over two axes");
  });

  it("takes a dead time with and without rows", () => {
    const rows = shaped("fuel.injector-dead-time");
    const { y: _rows, ...without } = rows;
    expect(roleMisfit(rows, "fuel.injector-dead-time")).toBeUndefined();
    expect(roleMisfit({ ...without, cells: new Float64Array(2) }, "fuel.injector-dead-time")).toBeUndefined();
  });

  it("refuses another quantity in cells, columns or rows, but not another unit of the same one", () => {
    const ve = grid(
      "air.ve",
      "%",
      [800, 2000],
      [30, 60],
      [
        [40, 50],
        [50, 60],
      ],
    );
    expect(roleMisfit({ ...ve, y: { ...ve.y!, unit: "psi" } }, "air.ve")).toBeUndefined();
    expect(roleMisfit({ ...ve, unit: "fraction" }, "air.ve")).toBeUndefined();
    expect(roleMisfit({ ...ve, title: "Filling", unit: "kPa" }, "air.ve")).toBe(
      'the cells of "Filling" are in kPa, Volumetric efficiency (air.ve) has % there',
    );
    expect(roleMisfit({ ...ve, title: "Filling", x: { ...ve.x!, unit: "°C" } }, "air.ve")).toContain("the columns of");
    expect(roleMisfit({ ...ve, title: "Filling", y: { ...ve.y!, unit: "g/s" } }, "air.ve")).toContain("the rows of");
    expect(roleMisfit(single("limit.engine-speed", "rpm", 6500), "driveline.axle-ratio")).toContain("has plain numbers there");
  });

  it("holds nothing against a unit that is not known or says that there is none", () => {
    const ceiling = single("trans.line-pressure-ceiling", "-", 900);
    expect(roleMisfit(ceiling, "trans.line-pressure-ceiling")).toBeUndefined();
    expect(roleMisfit({ ...ceiling, unit: "counts/64" }, "trans.line-pressure-ceiling")).toBeUndefined();
    expect(roleMisfit(single("fuel.stoich", "lambda", 1), "fuel.stoich")).toBeUndefined();
  });
});
