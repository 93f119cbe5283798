#pragma once

#include "plan/device_study.h"

namespace lastreach {

// The full plan for settings that somebody has chosen: what PlanDevice does once it has chosen. The verdict
// is kKeep where they are what is keyed, kChange where they are sure enough, else kCannotHold with the
// measured outcome. Missing numbers give kTooLittleKnown. COST: about half a PlanDevice.
DevicePlan Settle(const DeviceFacts& facts, const PlanOptions& options, const TimerSettings& settings);

// The parts of it.

// A plan with what is known of the device before any settings are tried; nothing more where numbers are
// missing.
DevicePlan BlankPlan(const DeviceFacts& facts, const PlanOptions& options);
// The reach, the target and the bound.
void Summarise(const DeviceStudy& study, DevicePlan& plan);
// What the present settings do, by the same measure, on the timer as it stands.
void MeasurePresent(DeviceStudy& study, DevicePlan& plan);
// Fills in all that follows from the settings taken up; only in part where they are less sure than that.
void TakeUp(DeviceStudy& study, const TimerSettings& settings, DevicePlan& plan, double at_least_sure = 0);
// Forgets settings taken up that did not prove good enough.
void LetGo(const DeviceStudy& study, DevicePlan& plan);
// Says why and what to mind, of settings taken up.
void AddReasonsAndCautions(const DeviceStudy& study, DevicePlan& plan);
// Says what binds, of settings taken up; `least_at_corner_m3_per_day`: the least water found at the corner.
void AddWhatBinds(DeviceStudy& study, double least_at_corner_m3_per_day, DevicePlan& plan);
// Says what binds of a plan that was made without (PlanOptions::what_binds); nothing of one that has no
// settings of its own. `facts`: with what the plan counts on. COST: a search, and one for each thing that may
// bind.
void SayWhatBinds(const DeviceFacts& facts, const PlanOptions& options, DevicePlan& plan);

}  // namespace lastreach
