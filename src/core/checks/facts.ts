import type { Intake } from "../result/index.ts";

/** Free text of the intake in which a change may be named. */
function changesText(intake: Intake): string {
  return (intake.changes ?? []).join("\n").toLowerCase();
}

/** True when the engine breathes otherwise than the factory's: cam, heads, displacement or charging. Headers and filters are not enough. */
export function isBreathingChanged(intake: Intake): boolean {
  if (intake.engine.camChanged === true) return true;
  return /\b(cam ?shafts?|cylinder heads?|ported heads|supercharger|turbo(charger)?|stroker|bored)\b/.test(changesText(intake));
}

/** True when the transmission is stated as built for hard shifts. */
export function isTransmissionBuilt(intake: Intake): boolean {
  const text = `${intake.vehicle?.transmission ?? ""}\n${changesText(intake)}`.toLowerCase();
  return /\bbuilt\b|manual valve ?body|\brace\b|\bracing\b|\bdrag\b|trans-?brake|shift kit|full[- ]manual|reinforced/.test(text);
}

export function isManual(intake: Intake): boolean {
  const text = (intake.vehicle?.transmission ?? "").toLowerCase();
  return /\bmanual\b/.test(text) && !/valve ?body|automatic|automated/.test(text);
}

/** True when another torque converter than the factory's is stated. */
export function isConverterChanged(intake: Intake): boolean {
  return /\bconverter\b/.test(changesText(intake));
}

export function hasSeveralDiscs(intake: Intake): boolean {
  return /\b(multi|multiple|dual|twin|triple|three|two)[- ]?(disc|disk|plate)\b/.test(
    `${intake.vehicle?.transmission ?? ""}\n${changesText(intake)}`.toLowerCase(),
  );
}

/** True when the injectors are stated to be the factory's and nothing says otherwise. */
export function areInjectorsOriginal(intake: Intake): boolean {
  return (
    /\b(original|factory|stock|standard|oem)\b/.test((intake.injectors?.label ?? "").toLowerCase()) &&
    !/inject|fuel pressure|regulator|fuel rail/.test(changesText(intake))
  );
}

/** True when the valve train or bottom end is stated to stand more speed. */
export function isSpeedBuilt(intake: Intake): boolean {
  return /valve ?spring|valve ?train|rod bolts|forged|push ?rods|rocker/.test(changesText(intake));
}
