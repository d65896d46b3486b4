/** What the tests use of `unitmath`, whose package does not export its own declarations. */
declare module "unitmath/dist/UnitMath.js" {
  interface Quantity {
    to(unit: string): Quantity;
    getValue(): unknown;
  }
  export default function unit(value: number, unit: string): Quantity;
}
