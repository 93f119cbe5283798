#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

namespace lastreach {

// Memory for rings of pieces in blocks of 4, 8, 16 ... pieces, given back and used again; asked of the system
// in slabs, so that pieces never move but when their own ring grows.
template <class Piece>
class PiecePool {
 public:
  static constexpr uint32_t kLeast = 4;

  Piece* Take(uint32_t capacity) {
    const std::size_t size = SizeClass(capacity);
    if (size >= free_.size()) free_.resize(size + 1);
    if (!free_[size].empty()) {
      Piece* block = free_[size].back();
      free_[size].pop_back();
      return block;
    }
    if (capacity > kSlab / 4) return NewSlab(capacity);
    if (left_ < capacity) {
      slab_ = NewSlab(kSlab);
      left_ = kSlab;
    }
    Piece* block = slab_;
    slab_ += capacity;
    left_ -= capacity;
    return block;
  }
  void GiveBack(Piece* block, uint32_t capacity) { free_[SizeClass(capacity)].push_back(block); }

 private:
  static constexpr uint32_t kSlab = 1u << 14;

  static std::size_t SizeClass(uint32_t capacity) {
    std::size_t size = 0;
    while ((kLeast << size) < capacity) ++size;
    return size;
  }
  Piece* NewSlab(uint32_t capacity) {
    slabs_.push_back(std::make_unique<Piece[]>(capacity));
    return slabs_.back().get();
  }

  std::vector<std::unique_ptr<Piece[]>> slabs_;
  std::vector<std::vector<Piece*>> free_;
  Piece* slab_ = nullptr;
  uint32_t left_ = 0;
};

// Pieces in order, added and taken at both ends: end 0 and end 1. REQUIRES: count() > 0 for At and Pop; one
// pool for all calls.
template <class Piece>
class PieceRing {
 public:
  uint32_t count() const { return count_; }
  Piece& At(std::size_t end) { return base_[end == 0 ? head_ : (head_ + count_ - 1) & mask_]; }
  const Piece& At(std::size_t end) const { return base_[end == 0 ? head_ : (head_ + count_ - 1) & mask_]; }
  const Piece& operator[](uint32_t place) const { return base_[(head_ + place) & mask_]; }  // from end 0

  void Push(std::size_t end, const Piece& piece, PiecePool<Piece>& pool) {
    if (base_ == nullptr || count_ == mask_ + 1) Grow(pool);
    if (end == 0) head_ = (head_ + mask_) & mask_;
    base_[end == 0 ? head_ : (head_ + count_) & mask_] = piece;
    ++count_;
  }
  void Pop(std::size_t end) {
    if (end == 0) head_ = (head_ + 1) & mask_;
    --count_;
  }
  void Clear() { count_ = 0; }

 private:
  void Grow(PiecePool<Piece>& pool) {
    const uint32_t capacity = base_ == nullptr ? PiecePool<Piece>::kLeast : 2 * (mask_ + 1);
    Piece* block = pool.Take(capacity);
    for (uint32_t i = 0; i < count_; ++i) block[i] = (*this)[i];
    if (base_ != nullptr) pool.GiveBack(base_, mask_ + 1);
    base_ = block;
    mask_ = capacity - 1;
    head_ = 0;
  }

  Piece* base_ = nullptr;
  uint32_t mask_ = 0, head_ = 0, count_ = 0;
};

}  // namespace lastreach
