/** Facts about the vehicle as the intake sheet gives them. Everything but displacement and cylinders may be missing. */
export interface Intake {
  readonly vehicle?: {
    readonly label?: string;
    readonly year?: number;
    readonly massKg?: number;
    readonly axleRatio?: number;
    readonly tireRevsPerKm?: number;
    readonly gearRatios?: readonly number[];
    readonly transmission?: string;
    readonly converterStallRpm?: number;
  };
  readonly engine: {
    readonly displacementL: number;
    readonly cylinders: number;
    readonly compressionRatio?: number;
    readonly boosted?: boolean;
    readonly camDurationDeg?: number;
    readonly camLiftMm?: number;
    readonly camLobeSeparationDeg?: number;
    readonly camChanged?: boolean;
    readonly intake?: string;
    readonly exhaust?: string;
  };
  readonly fuel?: { readonly ethanolPercentVolume?: number; readonly railPressureKpa?: number; readonly railReference?: "atmosphere" | "manifold" };
  readonly injectors?: { readonly label?: string; readonly ratedFlowGps?: number; readonly ratedPressureKpa?: number };
  readonly complaint?: string;
  readonly changes?: readonly string[];
  readonly ambient?: { readonly pressureKpa?: number; readonly temperatureC?: number; readonly relativeHumidityPercent?: number };
  /** How sweeps are to be reckoned. `standard` is an id of docs/power-standards.md, `coastDown` names a file of the packet. */
  readonly dynamometer?: { readonly standard?: string; readonly coastDown?: string; readonly coastDownMassKg?: number; readonly lossPercent?: number };
  readonly sensors?: { readonly widebandFitted?: boolean; readonly airMeterFitted?: boolean; readonly widebandBank?: 1 | 2 };
  readonly observations?: Readonly<Record<string, unknown>>;
  readonly troubleCodes?: readonly string[];
}

/** Swept volume of one cylinder [L]. */
export function cylinderL(intake: Intake): number {
  return intake.engine.displacementL / intake.engine.cylinders;
}
