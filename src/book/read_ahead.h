// Reading a journal: what can be told of an entry by itself is done by other threads, ahead of the
// one that takes the entries in their order.
#pragma once

#include <algorithm>
#include <condition_variable>
#include <deque>
#include <exception>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <system_error>
#include <thread>
#include <vector>

#include "book/entry.h"
#include "book/kinds.h"

namespace trencher::book {

// An entry's body, read and looked at.
struct ReadBody {
  Json body;
  Facts facts;
  std::string unlike;      // not empty: the bytes are not those that the book would write, and why
  std::string unreadable;  // not empty: it is no body of its kind, and why
};
ReadBody read_body(const Entry& entry);

// Works on parts in parallel and hands them on one after another, in order, in the caller's thread.
template <typename Part>
class ReadAhead {
 public:
  // `work` and `clear` are called from any thread, `use` from that of push() and finish(). What
  // `work` or `use` throws comes out of push() or finish(). `clear` makes a part that was used fit
  // to be filled anew: memory is freed where it was taken, which is cheaper.
  ReadAhead(
      std::function<void(Part&)> work, std::function<void(Part&)> use,
      std::function<void(Part&)> clear = [](Part& part) { part = Part(); })
      : work_(std::move(work)), use_(std::move(use)), clear_(std::move(clear)) {
    const unsigned cores = std::thread::hardware_concurrency();
    threads_.reserve(8);
    try {
      for (unsigned i = 0; i + 1 < std::min(cores, 8U); ++i)
        threads_.emplace_back([this] { run(); });
    } catch (const std::system_error&) {
      // No more are to be had: those that there are do, and where there is none, the caller's.
    }
  }

  ~ReadAhead() {
    {
      const std::lock_guard lock(mutex_);
      over_ = true;
    }
    more_.notify_all();
    for (std::thread& thread : threads_) thread.join();
  }
  ReadAhead(const ReadAhead&) = delete;
  ReadAhead& operator=(const ReadAhead&) = delete;

  void push(Part part) {
    auto one = std::make_shared<One>();
    one->part = std::move(part);
    if (threads_.empty()) {
      one->of_caller = true;
      do_work(*one);
      return hand_on(*one);
    }
    {
      const std::lock_guard lock(mutex_);
      waiting_.push_back(one);
      in_order_.push_back(std::move(one));
    }
    more_.notify_one();
    while (in_order_.size() > most_ahead()) next();
  }

  void finish() {
    while (!in_order_.empty()) next();
  }

  // A part that was used and cleared, or a new one.
  Part spare() {
    const std::lock_guard lock(mutex_);
    if (spare_.empty()) return Part();
    Part out = std::move(spare_.back());
    spare_.pop_back();
    return out;
  }

 private:
  // A part for each thread and two at hand: more fall out of the processor's cache.
  std::size_t most_ahead() const { return threads_.size() + 2; }
  struct One {
    Part part;
    bool done = false;
    bool of_caller = false;  // its thread did the work
    std::exception_ptr failure;
  };

  void do_work(One& one) {
    try {
      work_(one.part);
    } catch (...) {
      one.failure = std::current_exception();
    }
  }

  void hand_on(One& one) {
    if (one.failure) std::rethrow_exception(one.failure);
    use_(one.part);
    if (one.of_caller) clear_(one.part);
    std::unique_lock lock(mutex_);
    if (one.of_caller) return keep_spare(std::move(one.part));
    used_.push_back(std::move(one.part));
    if (used_.size() > most_ahead()) clear_first(lock);
  }

  // REQUIRES: the lock is held.
  void keep_spare(Part part) {
    if (spare_.size() < most_ahead()) spare_.push_back(std::move(part));
  }

  // REQUIRES: one is used. The lock is given up meanwhile.
  void clear_first(std::unique_lock<std::mutex>& lock) {
    Part part = std::move(used_.front());
    used_.pop_front();
    lock.unlock();
    clear_(part);
    lock.lock();
    keep_spare(std::move(part));
  }

  // The oldest part. While it is not done, those that nobody has begun are worked on here: waiting
  // for it, this thread would do nothing where reading is less work than looking.
  void next() {
    const std::shared_ptr<One> one = in_order_.front();
    std::unique_lock lock(mutex_);
    while (!one->done) {
      if (waiting_.empty())
        done_.wait(lock, [&] { return one->done; });
      else
        work_on_first(lock, true);
    }
    lock.unlock();
    in_order_.pop_front();
    hand_on(*one);
  }

  void run() {
    std::unique_lock lock(mutex_);
    for (;;) {
      more_.wait(lock, [&] { return over_ || !waiting_.empty(); });
      if (over_) return;
      work_on_first(lock, false);
      done_.notify_one();
      while (!used_.empty()) clear_first(lock);
    }
  }

  // REQUIRES: one is waiting. The lock is given up meanwhile.
  void work_on_first(std::unique_lock<std::mutex>& lock, bool of_caller) {
    const std::shared_ptr<One> one = waiting_.front();
    waiting_.pop_front();
    one->of_caller = of_caller;
    lock.unlock();
    do_work(*one);
    lock.lock();
    one->done = true;
  }

  std::function<void(Part&)> work_, use_, clear_;
  std::deque<std::shared_ptr<One>> in_order_;  // of the caller's thread alone
  std::mutex mutex_;                           // over what follows, and each One's flags
  std::condition_variable more_, done_;
  std::deque<std::shared_ptr<One>> waiting_;
  std::deque<Part> used_;
  std::vector<Part> spare_;
  bool over_ = false;
  std::vector<std::thread> threads_;
};

}  // namespace trencher::book
